// What a fuzz target is: a function that reads bytes and says what a reader promised and did not
// keep. Built by Clang with libFuzzer each is a program that looks for such bytes; replay.cpp,
// built by any compiler, reads those that are stored. Not here: the targets (fuzz_*.cpp).
#pragma once

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <string>
#include <string_view>

#include <unistd.h>

namespace keyfall::fuzz {

/// Each returns "" or the promise that was broken. A crash or a sanitizer's finding ends the
/// program.
std::string readLm63(std::string_view bytes);
std::string readEulumdat(std::string_view bytes);
std::string readSceneFile(std::string_view bytes);
std::string readObjFile(std::string_view bytes);

/// A file of this process alone, for readers that take no text.
inline std::filesystem::path fileOf(std::string_view bytes, const std::string& ending) {
    static const std::filesystem::path file = std::filesystem::temp_directory_path() /
                                              ("keyfall_fuzz_" + std::to_string(getpid()) + ending);
    std::ofstream(file, std::ios::binary)
        .write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    return file;
}

/// For LLVMFuzzerTestOneInput.
inline int judge(std::string (*target)(std::string_view), const std::uint8_t* data,
                 std::size_t size) {
    const std::string broken = target({reinterpret_cast<const char*>(data), size});
    if (broken.empty()) return 0;
    std::cerr << "promise broken: " << broken << "\n";
    std::abort();
}

}  // namespace keyfall::fuzz
