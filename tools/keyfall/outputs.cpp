#include "outputs.h"

#include <fmt/core.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <fstream>

#include "renderer/photograph/write_file.h"

namespace keyfall {
namespace {

namespace fs = std::filesystem;

void requireWritable(const OutputTarget& target) {
    const fs::path& file = target.file;
    if (target.stream) {
        if (access(file.c_str(), W_OK) != 0) throw WriteError(file, "it takes no bytes from you");
        return;
    }
    const fs::path folder = file.has_parent_path() ? file.parent_path() : ".";
    if (!fs::is_directory(folder)) throw WriteError(file, "there is no folder " + folder.string());
    if (fs::is_directory(file)) throw WriteError(file, "this is a folder");
    if (access(folder.c_str(), W_OK) != 0) throw WriteError(file, "the folder is not writable");
}

/// Also by another way to it: a link, "./", "..".
bool sameFile(const fs::path& a, const fs::path& b) {
    std::error_code none;
    if (fs::equivalent(a, b, none)) return true;
    // Not there yet. Absolute first: a name of which no part exists is left relative.
    return fs::weakly_canonical(fs::absolute(a)) == fs::weakly_canonical(fs::absolute(b));
}

}  // namespace

void writeStandardOutput(const std::string& text) {
    errno = 0;
    const bool whole = std::fwrite(text.data(), 1, text.size(), stdout) == text.size();
    if (!whole || std::fflush(stdout) != 0) throw WriteError("standard output", std::strerror(errno));
}

void writeText(const std::string& target, const std::string& text) {
    if (target == "-") {
        writeStandardOutput(text);
        return;
    }
    writeWhole(target, [&](const fs::path& part) {
        std::ofstream file(part, std::ios::binary);
        file << text;
        file.close();
        if (!file) throw std::runtime_error("the disk took only part of it");
    });
}

void requireApart(const Output& output, const std::string& input, const std::string& what) {
    if (output.file.empty() || output.file == "-") return;
    if (sameFile(input, outputTarget(output.file).file))
        throw CommandLineError(fmt::format("{} {} is the same file as {}; give it a name of its own", output.option,
                                           output.file, what));
}

void requireOutputs(const std::string& scene, const std::vector<Output>& outputs) {
    struct Taken {
        std::string what;
        fs::path file;
    };
    std::vector<Taken> taken;
    if (!scene.empty()) taken.push_back({"the scene", scene});
    for (const Output& o : outputs) {
        if (o.file.empty() || o.file == "-") continue;
        const OutputTarget target = outputTarget(o.file);
        requireWritable(target);
        if (target.stream) continue;  // several may go to /dev/null
        for (const Taken& t : taken)
            if (sameFile(t.file, target.file))
                throw CommandLineError(fmt::format("{} {} is the same file as {}; give it a name of its own",
                                                   o.option, o.file, t.what));
        taken.push_back({o.option, target.file});
    }
}

}  // namespace keyfall
