#include "sources.h"

#include <algorithm>
#include <fstream>
#include <regex>
#include <sstream>
#include <stdexcept>

namespace keyfall::house {

std::vector<Include> includesOf(const std::string& text) {
    static const std::regex form(R"(^\s*#\s*include\s*(["<])([^">]+)[">].*)");
    std::vector<Include> found;
    std::istringstream lines(text);
    std::string line;
    for (int number = 1; std::getline(lines, line); ++number) {
        std::smatch match;
        if (std::regex_match(line, match, form))
            found.push_back({match[2].str(), match[1].str() == "\"", number});
    }
    return found;
}

std::vector<std::filesystem::path> sourcesOf(const std::filesystem::path& root,
                                             const std::string& room) {
    std::vector<std::filesystem::path> files;
    if (!std::filesystem::is_directory(root / room)) return files;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(root / room)) {
        const std::string extension = entry.path().extension().string();
        if (entry.is_regular_file() && (extension == ".h" || extension == ".cpp"))
            files.push_back(std::filesystem::relative(entry.path(), root));
    }
    std::sort(files.begin(), files.end());
    return files;
}

std::string readText(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    if (!in) throw std::runtime_error("cannot read " + file.string());
    return text.str();
}

}  // namespace keyfall::house
