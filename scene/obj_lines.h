// Hands an OBJ file to the library line by line, each checked before. Not here: what lines build.
#pragma once

#include <cstddef>
#include <cstdint>
#include <deque>
#include <filesystem>
#include <fstream>
#include <streambuf>
#include <string>
#include <string_view>

namespace keyfall {

/// A stream of checked OBJ lines. tinyobjloader's callbacks know neither line numbers nor smoothing
/// groups, read "nan" as 0 and take an index of any size; this buffer stands before it, gives
/// one line at a time, and so always knows which line a callback belongs to.
/// Throws ObjError out of the stream (its exception mask must hold badbit).
class ObjLines : public std::streambuf {
  public:
    static constexpr std::int64_t kNoSmoothingGroup = -1;  ///< no `s` line so far

    explicit ObjLines(const std::filesystem::path& file);

    std::size_t line() const { return line_; }  ///< of what the library now works on, from 1
    std::int64_t smoothing() const { return smoothing_; }  ///< 0 = off, else the group
    std::size_t unknownLines() const { return unknown_; }
    std::size_t firstUnknownLine() const { return firstUnknown_; }
    bool sawFreeForm() const { return sawFreeForm_; }  ///< curves and surfaces, which are not read
    bool isEmpty() const { return line_ == 0; }
    /// "mesh.obj:12: "
    std::string place() const;

  protected:
    int_type underflow() override;

  private:
    bool readRawLine();                  ///< into raw_; joins "\" continuations
    bool accept(std::string_view text);  ///< checks; puts what the library may see in ready_
    void checkNumbers(std::string_view rest, const char* keyword, std::size_t least) const;
    void checkFace(std::string_view rest) const;
    void readSmoothing(std::string_view rest);
    void splitLibraries(std::string_view rest);
    bool noteUnknown();

    std::ifstream in_;
    std::filesystem::path file_;
    std::string raw_, ready_;
    std::deque<std::string> pending_;  ///< lines that one line of the file was turned into
    std::size_t line_ = 0, nextLine_ = 1, unknown_ = 0, firstUnknown_ = 0;
    std::int64_t smoothing_ = kNoSmoothingGroup;
    char end_ = '\n';
    bool sawFreeForm_ = false;
};

}  // namespace keyfall
