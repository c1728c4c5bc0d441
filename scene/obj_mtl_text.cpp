// Checks MTL lines before the library reads them. Not here: materials (obj_materials.cpp).
#include "scene/obj_mtl_text.h"

#include <algorithm>
#include <array>

#include "scene/obj.h"
#include "scene/obj_text.h"

namespace keyfall {
namespace {

using namespace objtext;

constexpr std::array<std::string_view, 5> kColours{"Kd", "Ks", "Ke", "Tf", "Kt"};
constexpr std::array<std::string_view, 8> kNumbers{"Ns", "Ni", "d",     "Tr",
                                                   "Pr", "Pm", "aniso", "illum"};

// Written after each `newmtl`; a later line of the file overrides. `d` is left out: the library
// lets `d` win over `Tr` by presence, and its own default of 1 is right.
constexpr const char* kAbsentFields =
    "Kd -1 -1 -1\nKs -1 -1 -1\nKe -1 -1 -1\nTf -1 -1 -1\nNs -1\nNi -1\nPr -1\nPm -1\naniso -1\n";

class MtlChecker {
  public:
    MtlChecker(const std::string& name, std::vector<std::string>& warnings)
        : name_(name), warnings_(warnings) {}

    std::string run(std::istream& in) {
        std::string line, checked;
        while (std::getline(in, line)) {
            ++line_;
            std::replace(line.begin(), line.end(), '\r', ' ');
            checked += accept(trimmed(line));
        }
        return checked;
    }

  private:
    std::string place() const { return name_ + ":" + std::to_string(line_) + ": "; }

    std::string accept(std::string_view text) {
        if (text.empty() || text.front() == '#') return {};
        std::string_view rest = text;
        const std::string_view key = nextWord(rest);
        rest = trimmed(rest);
        const auto line = [&](std::string_view value) {
            return std::string(key) + ' ' + std::string(value) + '\n';
        };
        if (key == "newmtl") {
            if (rest.empty())
                throw ObjError{place() +
                               "a material without a name; write newmtl NAME, the name "
                               "that the OBJ's usemtl lines use"};
            return line(rest) + kAbsentFields;
        }
        if (key == "map_Kd") return line(rest);
        const std::string_view values = trimmed(rest.substr(0, rest.find('#')));
        if (std::find(kColours.begin(), kColours.end(), key) != kColours.end())
            return colour(key, values);
        if (std::find(kNumbers.begin(), kNumbers.end(), key) != kNumbers.end())
            return number(key, values);
        return {};
    }

    std::string colour(std::string_view key, std::string_view values) {
        const std::string line = std::string(key);
        std::vector<std::string_view> word;
        for (std::string_view w = nextWord(values); !w.empty(); w = nextWord(values))
            word.push_back(w);
        if (!word.empty() && (word[0] == "spectral" || word[0] == "xyz")) {
            warnings_.push_back(place() + line + " as " + std::string(word[0]) +
                                " is not read; give three numbers, red, green, blue");
            return {};
        }
        for (const std::string_view w : word)
            if (!isNumber(w))
                throw ObjError{place() + quoted(w) + " is not a number; " + line +
                               " takes red, green and blue, each 0 to 1; correct the line"};
        if (word.size() != 1 && word.size() != 3)
            throw ObjError{place() + line + " with " + std::to_string(word.size()) +
                           " numbers; it takes red, green and blue, or one for grey; correct the "
                           "line"};
        std::string out = line;
        for (std::size_t i = 0; i < 3; ++i) out.append(" ").append(word[word.size() == 1 ? 0 : i]);
        return out + '\n';
    }

    std::string number(std::string_view key, std::string_view values) {
        std::string_view word = nextWord(values);
        if (key == "d" && word == "-halo") word = nextWord(values);
        const std::string takes = std::string(key) + " takes one number; correct the line";
        if (word.empty()) throw ObjError{place() + "no number; " + takes};
        if (!isNumber(word)) throw ObjError{place() + quoted(word) + " is not a number; " + takes};
        return std::string(key) + ' ' + std::string(word) + '\n';
    }

    const std::string& name_;
    std::vector<std::string>& warnings_;
    std::size_t line_ = 0;
};

}  // namespace

std::string checkedMtl(std::istream& in, const std::string& name,
                       std::vector<std::string>& warnings) {
    return MtlChecker(name, warnings).run(in);
}

}  // namespace keyfall
