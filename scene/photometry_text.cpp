#include "scene/photometry_text.h"

#include <fmt/format.h>

#include <cmath>

#include "scene/obj_text.h"
#include "scene/photo_text.h"

namespace keyfall {

namespace {
// Ctrl-Z ended text files once, and some measuring programs still write it.
bool isBetween(char c) {
    return c == ' ' || c == '\t' || c == ',' || c == '\x1a';
}

std::string counted(int number, std::string_view what) {
    return fmt::format("{} {}{}", number, what, number == 1 ? "" : "s");
}
}  // namespace

std::vector<std::string_view> photometryLines(std::string_view text) {
    if (text.substr(0, 3) == "\xEF\xBB\xBF") text.remove_prefix(3);
    std::vector<std::string_view> lines;
    while (!text.empty()) {
        const std::size_t end = text.find_first_of("\r\n");
        lines.push_back(text.substr(0, end));
        if (end == std::string_view::npos) break;
        const bool pair = text[end] == '\r' && end + 1 < text.size() && text[end + 1] == '\n';
        text.remove_prefix(end + (pair ? 2 : 1));
    }
    return lines;
}

bool NumberStream::skipBlanks() {
    const std::string_view line = (*lines_)[line_];
    while (column_ < line.size() && isBetween(line[column_])) ++column_;
    return column_ < line.size();
}

std::string_view NumberStream::word() {
    const std::string_view line = (*lines_)[line_];
    std::size_t end = column_;
    while (end < line.size() && !isBetween(line[end])) ++end;
    return line.substr(column_, end - column_);
}

double NumberStream::next(std::string_view what) {
    while (line_ < lines_->size() && !skipBlanks()) {
        ++line_;
        column_ = 0;
    }
    if (line_ >= lines_->size())
        throw PhotometryError(
            static_cast<int>(lines_->size()), 1,
            fmt::format("the file ends before its {}; it may be cut off; get it again", what));
    lastLine_ = static_cast<int>(line_) + 1;
    lastColumn_ = static_cast<int>(column_) + 1;
    const std::string_view found = word();
    const auto value = parseNumber(found);
    if (!value)
        fail(fmt::format("{} is no number; here stands the {}; write decimals with a point",
                         objtext::quoted(found), what));
    column_ += found.size();
    return *value;
}

int NumberStream::whole(std::string_view what, int low, int high) {
    const double value = next(what);
    if (value != std::floor(value) || value < low || value > high)
        fail(fmt::format("the {} is {:g}; allowed: a whole number from {} to {}", what, value, low,
                         high));
    return static_cast<int>(value);
}

double NumberStream::positive(std::string_view what) {
    const double value = next(what);
    if (!(value > 0.0)) fail(fmt::format("the {} is {:g}; allowed: a number above 0", what, value));
    return value;
}

double NumberStream::notNegative(std::string_view what) {
    const double value = next(what);
    if (value < 0.0) fail(fmt::format("the {} is {:g}; allowed: 0 or more", what, value));
    return value;
}

void NumberStream::endRecord(std::string_view what, int count) {
    if (!skipBlanks()) return;
    next(what);
    fail(fmt::format(
        "more on this line than the {} that the file announces; correct the count or the line",
        counted(count, what)));
}

void NumberStream::end(std::string_view what) {
    for (; line_ < lines_->size(); ++line_, column_ = 0) {
        if (!skipBlanks()) continue;
        if (!parseNumber(word())) return;
        next(what);
        fail(
            fmt::format("a number after the last {}; the counts of angles say that there is none; "
                        "correct them",
                        what));
    }
}

void NumberStream::fail(const std::string& problem) const {
    throw PhotometryError(lastLine_, lastColumn_, problem);
}

}  // namespace keyfall
