// Checks OBJ lines before the library reads them. Not here: what the lines build (obj_raw.h).
#include "scene/obj_lines.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <limits>

#include "scene/obj.h"
#include "scene/obj_text.h"

namespace keyfall {
namespace {

using namespace objtext;

// Keywords of the format that carry no surface this program draws: dropped without a word.
constexpr std::array<std::string_view, 10> kIgnored{
    "l", "p", "vp", "lod", "bevel", "c_interp", "d_interp", "shadow_obj", "trace_obj", "call"};
// Free-form geometry of the format: dropped, and the user is told.
constexpr std::array<std::string_view, 16> kFreeForm{
    "cstype", "deg",  "bmat", "step", "curv", "curv2", "surf",  "parm",
    "trim",   "hole", "scrv", "sp",   "end",  "con",   "ctech", "stech"};

template <std::size_t N>
bool holds(const std::array<std::string_view, N>& list, std::string_view word) {
    return std::find(list.begin(), list.end(), word) != list.end();
}

std::string_view withoutComment(std::string_view text) {
    return trimmed(text.substr(0, text.find('#')));
}

}  // namespace

// Line ends: LF, CR LF, and CR alone (old systems), which shows as no LF in the first 64 kB.
ObjLines::ObjLines(const std::filesystem::path& file) : in_(file, std::ios::binary), file_(file) {
    std::string head(65536, '\0');
    in_.read(head.data(), static_cast<std::streamsize>(head.size()));
    head.resize(static_cast<std::size_t>(in_.gcount()));
    if (head.find('\n') == std::string::npos && head.find('\r') != std::string::npos) end_ = '\r';
    in_.clear();
    in_.seekg(0);
}

std::string ObjLines::place() const {
    return file_.filename().string() + ":" + std::to_string(line_) + ": ";
}

ObjLines::int_type ObjLines::underflow() {
    ready_.clear();
    while (ready_.empty()) {
        if (!pending_.empty()) {
            ready_ = std::move(pending_.front());
            pending_.pop_front();
        } else if (!readRawLine()) {
            return traits_type::eof();
        } else {
            accept(trimmed(raw_));
        }
    }
    ready_ += '\n';
    setg(ready_.data(), ready_.data(), ready_.data() + ready_.size());
    return traits_type::to_int_type(ready_.front());
}

bool ObjLines::readRawLine() {
    raw_.clear();
    std::string part;
    bool more = true;
    for (bool first = true; more; first = false) {
        if (!std::getline(in_, first ? raw_ : part, end_)) return !first;
        if (!first) raw_ += part;
        line_ = nextLine_++;
        std::string_view text = trimmed(raw_);
        more = !text.empty() && text.back() == '\\';
        if (more) raw_ = std::string(text.substr(0, text.size() - 1)) + ' ';
    }
    if (raw_.find('\r') != std::string::npos)  // the library would break the line there
        std::replace(raw_.begin(), raw_.end(), '\r', ' ');
    return true;
}

bool ObjLines::accept(std::string_view text) {
    if (text.empty() || text.front() == '#') return false;
    std::string_view rest = text;
    const std::string_view key = nextWord(rest);
    if (key == "v") {
        rest = withoutComment(rest);
        checkNumbers(rest, "v", 3);
    } else if (key == "vn") {
        rest = withoutComment(rest);
        checkNumbers(rest, "vn", 3);
    } else if (key == "vt") {
        rest = withoutComment(rest);
        checkNumbers(rest, "vt", 1);
    } else if (key == "f" || key == "fo") {  // fo: the outdated spelling
        rest = withoutComment(rest);
        checkFace(rest);
        ready_.assign("f ").append(rest);
        return true;
    } else if (key == "s") {
        readSmoothing(withoutComment(rest));
        return false;
    } else if (key == "mtllib") {
        splitLibraries(trimmed(rest));
        return false;
    } else if (key != "usemtl" && key != "g" && key != "o") {
        if (holds(kFreeForm, key)) sawFreeForm_ = true;
        return holds(kIgnored, key) || holds(kFreeForm, key) ? false : noteUnknown();
    }
    ready_.assign(key).append(" ").append(trimmed(rest));
    return true;
}

bool ObjLines::noteUnknown() {
    if (unknown_++ == 0) firstUnknown_ = line_;
    return false;
}

void ObjLines::checkNumbers(std::string_view rest, const char* keyword, std::size_t least) const {
    const std::string needs = std::string("a \"") + keyword + "\" line takes " +
                              (least == 1 ? "one to three" : "three") + " decimal numbers";
    std::size_t count = 0;
    for (std::string_view word = nextWord(rest); !word.empty(); word = nextWord(rest), ++count)
        if (!isNumber(word))
            throw ObjError{place() + quoted(word) + " is not a number; " + needs +
                           "; correct the line or export the mesh again"};
    if (count < least)
        throw ObjError{place() + std::to_string(count) + (count == 1 ? " number; " : " numbers; ") +
                       needs + "; correct the line or export the mesh again"};
}

// A corner is v, v/vt, v//vn or v/vt/vn; what is checked here is the writing and the size of each
// number, not whether such a point exists.
void ObjLines::checkFace(std::string_view rest) const {
    for (std::string_view word = nextWord(rest); !word.empty(); word = nextWord(rest)) {
        const char* at = word.data();
        const char* const end = at + word.size();
        for (int field = 0; field < 3; ++field) {
            int index = 0;
            const auto [next, error] = std::from_chars(at, end, index);
            const bool isLeftOut = field > 0 && next == at && (at == end || *at == '/');
            if (error == std::errc::result_out_of_range)
                throw ObjError{place() + "index in " + quoted(word) +
                               " is too large; the largest is 2147483647; export the mesh again"};
            if (error != std::errc{} && !isLeftOut)
                throw ObjError{place() + quoted(word) +
                               " is no corner of a face; write it as v, v/vt, v//vn or v/vt/vn "
                               "with whole numbers; correct the line or export the mesh again"};
            if (error == std::errc{} && index == 0)
                throw ObjError{place() + "index 0 in " + quoted(word) +
                               "; OBJ counts from 1, or back from -1; export the mesh again"};
            at = next;
            if (at == end) break;
            if (*at != '/' || field == 2)
                throw ObjError{place() + quoted(word) +
                               " is no corner of a face; write it as v, v/vt, v//vn or v/vt/vn "
                               "with whole numbers; correct the line or export the mesh again"};
            ++at;
        }
    }
}

void ObjLines::readSmoothing(std::string_view rest) {
    const std::string_view word = nextWord(rest);
    std::int64_t group = 0;
    const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), group);
    if (word == "off" || word == "on")
        smoothing_ = word == "on" ? 1 : 0;
    else if (error == std::errc{} && end == word.data() + word.size() && group >= 0 &&
             group <= std::numeric_limits<std::int32_t>::max())
        smoothing_ = group;
    else
        noteUnknown();
}

// Some programs write one file whose name holds spaces, the format allows several names on a line.
// The library splits at spaces and stops at the first file it can read; so: one name a line, with
// spaces and backslashes escaped the way it wants them.
void ObjLines::splitLibraries(std::string_view rest) {
    std::error_code ignored;
    const auto emit = [this](std::string_view name) {
        std::string line = "mtllib ";
        for (const char c : name) {
            if (c == ' ' || c == '\\') line += '\\';
            line += c;
        }
        pending_.push_back(std::move(line));
    };
    const auto exists = [&](std::string_view name) {
        return std::filesystem::exists(file_.parent_path() / std::filesystem::path(name), ignored);
    };
    std::string_view words = rest;
    bool oneExists = false;
    for (std::string_view w = nextWord(words); !w.empty(); w = nextWord(words))
        oneExists = oneExists || exists(w);
    if (!oneExists || exists(rest)) return emit(rest);
    words = rest;
    for (std::string_view w = nextWord(words); !w.empty(); w = nextWord(words)) emit(w);
}

}  // namespace keyfall
