// Messages: collecting, ordering, wording.
#include "scene/diagnostics.h"

#include <fmt/format.h>

#include <algorithm>

namespace keyfall {

namespace {

std::string sentence(const Complaint& c) {
    std::string text = c.found;
    for (const std::string& part : {c.allowed, c.fix}) {
        if (!part.empty()) text += "; " + part;
    }
    return text;
}

}  // namespace

void Diagnostics::add(const Place& place, Diagnostic::Severity severity, std::string text,
                      bool otherFile) {
    Diagnostic message;
    message.severity = severity;
    message.file = place.file;
    message.line = place.line;
    message.column = place.column;
    message.text = std::move(text);
    message.aboutOtherFile = otherFile;
    list_.push_back(std::move(message));
}

void Diagnostics::error(const Place& place, const Complaint& complaint) {
    ++errors_;
    add(place, Diagnostic::Severity::error, sentence(complaint), false);
}

void Diagnostics::fileError(const Place& place, const Complaint& complaint) {
    ++errors_;
    add(place, Diagnostic::Severity::error, sentence(complaint), true);
}

void Diagnostics::warning(const Place& place, std::string text) {
    add(place, Diagnostic::Severity::warning, std::move(text), false);
}

std::vector<Diagnostic> Diagnostics::take() {
    std::stable_sort(list_.begin(), list_.end(), [](const Diagnostic& a, const Diagnostic& b) {
        const bool optionA = a.line == 0, optionB = b.line == 0;
        if (optionA != optionB) return optionB;
        if (a.line != b.line) return a.line < b.line;
        return a.column < b.column;
    });
    errors_ = 0;
    return std::move(list_);
}

std::string format(const Diagnostic& d) {
    const char* severity = d.severity == Diagnostic::Severity::error ? "error" : "warning";
    if (d.line == 0) return fmt::format("{}: {}: {}", d.file.string(), severity, d.text);
    return fmt::format("{}:{}:{}: {}: {}", d.file.string(), d.line, d.column, severity, d.text);
}

int ReadResult::exitCode() const {
    constexpr int kSceneFile = 3, kOtherFile = 4;
    int code = 0;
    for (const Diagnostic& d : diagnostics) {
        if (d.severity != Diagnostic::Severity::error) continue;
        if (!d.aboutOtherFile) return kSceneFile;
        code = kOtherFile;
    }
    return code;
}

int editDistance(std::string_view a, std::string_view b) {
    const std::size_t width = b.size() + 1;
    std::vector<int> d((a.size() + 1) * width);
    const auto cell = [&](std::size_t i, std::size_t j) -> int& { return d[i * width + j]; };
    for (std::size_t i = 0; i <= a.size(); ++i) cell(i, 0) = static_cast<int>(i);
    for (std::size_t j = 0; j <= b.size(); ++j) cell(0, j) = static_cast<int>(j);
    for (std::size_t i = 1; i <= a.size(); ++i) {
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const int replaced = cell(i - 1, j - 1) + (a[i - 1] == b[j - 1] ? 0 : 1);
            cell(i, j) = std::min({cell(i - 1, j) + 1, cell(i, j - 1) + 1, replaced});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                cell(i, j) = std::min(cell(i, j), cell(i - 2, j - 2) + 1);
        }
    }
    return cell(a.size(), b.size());
}

std::string nearest(std::string_view name, const std::vector<std::string>& candidates) {
    constexpr std::size_t kLongestName = 60;  // a pasted text is no slip of the fingers
    if (name.empty() || name.size() > kLongestName) return {};
    std::string best;
    int bestDistance = std::max(1, static_cast<int>(name.size()) / 3) + 1;
    for (const std::string& candidate : candidates) {
        const int distance = editDistance(name, candidate);
        if (distance < bestDistance) {
            bestDistance = distance;
            best = candidate;
        }
    }
    if (!best.empty()) return best;
    constexpr std::size_t kEnough = 3;  // letters that make a beginning worth a guess
    for (const std::string& candidate : candidates) {
        const std::size_t common = std::min(name.size(), candidate.size());
        if (common >= kEnough && name.substr(0, common) == candidate.substr(0, common))
            return candidate;
    }
    return {};
}

std::string didYouMean(std::string_view name, const std::vector<std::string>& candidates) {
    const std::string best = nearest(name, candidates);
    return best.empty() ? std::string() : fmt::format("did you mean \"{}\"?", best);
}

std::string joined(const std::vector<std::string>& words, std::string_view between) {
    std::string text;
    for (const std::string& word : words) {
        if (!text.empty()) text += between;
        text += word;
    }
    return text;
}

}  // namespace keyfall
