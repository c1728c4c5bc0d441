// Small text helpers for OBJ and MTL lines. Not here: what the lines mean.
#pragma once

#include <string>
#include <string_view>

namespace keyfall::objtext {

inline bool isBlank(char c) {
    return c == ' ' || c == '\t';
}
inline bool isDigit(char c) {
    return c >= '0' && c <= '9';
}

inline std::string_view trimmed(std::string_view text) {
    while (!text.empty() && (isBlank(text.back()) || text.back() == '\r')) text.remove_suffix(1);
    while (!text.empty() && isBlank(text.front())) text.remove_prefix(1);
    return text;
}

/// Takes the next word off the front of `text`; empty at the end.
inline std::string_view nextWord(std::string_view& text) {
    std::size_t begin = 0;
    while (begin < text.size() && isBlank(text[begin])) ++begin;
    std::size_t end = begin;
    while (end < text.size() && !isBlank(text[end])) ++end;
    const std::string_view word = text.substr(begin, end - begin);
    text.remove_prefix(end);
    return word;
}

/// [sign] digits [. digits] [e [sign] digits], the whole of `word`; no nan, inf, hex or comma.
/// The library reads anything else silently as 0, so it has to be looked at before.
inline bool isNumber(std::string_view word) {
    std::size_t i = 0;
    const auto digits = [&] {
        const std::size_t first = i;
        while (i < word.size() && isDigit(word[i])) ++i;
        return i - first;
    };
    const auto sign = [&] {
        if (i < word.size() && (word[i] == '-' || word[i] == '+')) ++i;
    };
    sign();
    std::size_t mantissa = digits();
    if (i < word.size() && word[i] == '.') {
        ++i;
        mantissa += digits();
    }
    if (mantissa == 0) return false;
    if (i < word.size() && (word[i] == 'e' || word[i] == 'E')) {
        ++i;
        sign();
        const std::size_t exponent = digits();
        if (exponent == 0 || exponent > 4) return false;
    }
    return i == word.size();
}

/// `text` in quotes for a message; cut at 40 characters, with anything unprintable as '?'.
inline std::string quoted(std::string_view text) {
    std::string shown(text.substr(0, 40));
    for (char& c : shown)
        if (static_cast<unsigned char>(c) < 32 || static_cast<unsigned char>(c) > 126) c = '?';
    return '"' + shown + (text.size() > 40 ? "...\"" : "\"");
}

}  // namespace keyfall::objtext
