#include "vary.h"

#include <fmt/core.h>

#include <cmath>
#include <cstdlib>

#include "options.h"
#include "outputs.h"
#include "scene/photo.h"
#include "scene/third_stops.h"

namespace keyfall {
namespace {

constexpr const char* kForms = "allowed: KEY=10..60/6 (six values, both ends in) or KEY=10,15,20";
constexpr const char* kBoundForms = "allowed: KEY=10..60 (lowest and highest)";

std::optional<double> numberIn(const std::string& text) {
    if (text.empty() || std::isspace(static_cast<unsigned char>(text.front())) != 0) return {};
    char* end = nullptr;
    const double value = std::strtod(text.c_str(), &end);
    if (*end != 0 || !std::isfinite(value)) return {};
    return value;
}

/// Times as a dial has them: 1/125 is the step 1/128 s. Other times (t05) are literal.
bool isEngraved(const VariedKey& varied) {
    return varied.facts.type == Type::time && !varied.key.starts_with("lamp.");
}

/// "1/60" where 2^x seconds is a third stop of the dial; empty: it is none.
std::optional<VariedValue> dialTime(double x) {
    constexpr double kAlike_stops = 1e-6;
    for (const Engraved& e : thirdStopShutters({1e-5, 1e5})) {
        if (std::abs(std::log2(e.exact) - x) > kAlike_stops) continue;
        const double t_s = e.asWritten;
        return VariedValue{
            t_s < 0.26 ? fmt::format("1/{:g}", std::round(10.0 / t_s) / 10.0) : fmt::format("{:g}", t_s),
            std::log2(e.exact)};
    }
    return {};
}

/// A number of the key's own scale; empty: it is none.
std::optional<double> scaled(const VariedKey& varied, const std::string& text) {
    const Type type = varied.facts.type;
    if (type == Type::power) {
        const PowerOrError power = parsePower(text);
        return power.error.empty() && std::isfinite(power.stops) ? std::optional(power.stops)
                                                                 : std::nullopt;
    }
    if (type == Type::time) {
        const auto seconds = parseTime_s(text);
        if (!seconds) return {};
        return std::log2(isEngraved(varied) ? engravedShutter(*seconds).exact : *seconds);
    }
    return numberIn(text);
}

bool takesNumbers(const KeyFacts& f) {
    switch (f.type) {
        case Type::number:
        case Type::integer:
        case Type::power:
        case Type::time:
        case Type::pair:
        case Type::numbers:
        case Type::factor:
        case Type::white:
            return true;
        default:
            return f.axis.has_value();
    }
}

[[noreturn]] void refuse(const std::string& text, const std::string& found,
                         const std::string& allowed) {
    throw CommandLineError(fmt::format("--vary {}: {}; {}", text, found, allowed));
}

/// At commas outside of brackets and quotes.
std::vector<std::string> splitList(const std::string& text) {
    std::vector<std::string> parts(1);
    int depth = 0;
    bool quoted = false;
    for (const char c : text) {
        if (c == '"') quoted = !quoted;
        if (!quoted && (c == '[' || c == '{')) ++depth;
        if (!quoted && (c == ']' || c == '}')) --depth;
        if (c == ',' && depth == 0 && !quoted)
            parts.emplace_back();
        else
            parts.back() += c;
    }
    return parts;
}

VariedKey keyIn(const std::string& text, const Options& options, std::string& rest,
                const char* forms) {
    const std::size_t equals = text.find('=');
    if (equals == std::string::npos || equals == 0)
        refuse(text, "there is no key with values", forms);
    VariedKey varied;
    varied.key = text.substr(0, equals);
    rest = text.substr(equals + 1);
    if (rest.empty()) refuse(text, "there are no values", forms);
    varied.facts = factsOfKey(options.scene, options.set, varied.key);
    if (!varied.facts.problem.empty())
        throw CommandLineError(fmt::format("--vary {}: {}", text, varied.facts.problem));
    return varied;
}

double endOf(const VariedKey& varied, const std::string& text, const std::string& end,
             const char* forms) {
    const auto value = scaled(varied, end);
    if (!value)
        refuse(text,
               fmt::format("\"{}\" is no {}", end,
                           varied.facts.type == Type::power  ? "power above 0"
                           : varied.facts.type == Type::time ? "time"
                                                             : "number"),
               forms);
    return *value;
}

void fillRange(VariedKey& varied, const std::string& text, const std::string& low,
               const std::string& high, const char* forms) {
    if (!takesNumbers(varied.facts))
        refuse(text, "this key is no number, and only numbers have a range",
               "give its values one by one, by commas");
    varied.low = endOf(varied, text, low, forms);
    varied.high = endOf(varied, text, high, forms);
    if (!(varied.high > varied.low))
        refuse(text, fmt::format("the range from {} to {} is empty", low, high),
               "allowed: the lower end first; turn them round");
}

void fillSteps(VariedKey& varied, const std::string& text, const std::string& rest,
               std::size_t dots) {
    std::string high = rest.substr(dots + 2);
    const std::size_t slash = high.rfind('/');
    const auto count = slash == std::string::npos ? std::nullopt : numberIn(high.substr(slash + 1));
    if (!count || *count != std::floor(*count) || *count < 2.0)
        refuse(text, "the range says not how many values (two or more)",
               fmt::format("{}; for example {}/6", kForms, text));
    if (*count > static_cast<double>(kMostForms))
        refuse(text, fmt::format("{} values are too many", *count),
               fmt::format("allowed: {} in all", kMostForms));
    high.resize(slash);
    fillRange(varied, text, rest.substr(0, dots), high, kForms);
    for (int i = 0; i < static_cast<int>(*count); ++i)
        varied.values.push_back(
            varied.at(varied.low + (varied.high - varied.low) * i / (*count - 1.0)));
}

void fillList(VariedKey& varied, const std::string& text, const std::string& rest) {
    for (const std::string& part : splitList(rest)) {
        if (part.empty()) refuse(text, "a value is missing", kForms);
        const auto x = takesNumbers(varied.facts) ? scaled(varied, part) : std::nullopt;
        varied.isNumber = varied.isNumber && x.has_value();
        varied.values.push_back({part, x.value_or(0.0)});
    }
    if (varied.isNumber) return;
    for (std::size_t i = 0; i < varied.values.size(); ++i)
        varied.values[i].x = static_cast<double>(i);
}

}  // namespace

VariedValue VariedKey::at(double x) const {
    if (facts.type == Type::power) {
        const double stops = std::round(1000.0 * x) / 1000.0;
        return {canonicalPower(stops), stops};
    }
    if (const auto named = isEngraved(*this) ? dialTime(x) : std::nullopt) return *named;
    if (facts.type == Type::time) {
        const std::string text = fmt::format("{:.6g}", std::exp2(x));
        return {text, std::log2(std::strtod(text.c_str(), nullptr))};
    }
    const std::string text =
        facts.type == Type::integer ? fmt::format("{:.0f}", x) : fmt::format("{:.6g}", x);
    return {text, std::strtod(text.c_str(), nullptr)};
}

std::string VariedKey::setOption(const VariedValue& value) const {
    if (facts.axis) {
        std::vector<std::string> parts;
        for (std::size_t i = 0; i < 3; ++i)
            parts.push_back(i == *facts.axis ? value.text : fmt::format("{}", facts.written[i]));
        return fmt::format("{}=[{}, {}, {}]", facts.path, parts[0], parts[1], parts[2]);
    }
    const bool list = facts.type == Type::pair || facts.type == Type::numbers;
    if (!list || !isNumber) return key + "=" + value.text;
    const std::size_t count =
        facts.type == Type::pair ? 2 : std::max<std::size_t>(1, facts.written.size());
    std::string all = value.text;
    for (std::size_t i = 1; i < count; ++i) all += ", " + value.text;
    return key + "=[" + all + "]";
}

std::string VariedKey::unit() const {
    if (facts.type == Type::power) return "stops under full";
    if (facts.type == Type::time) return "log2 s";
    return facts.unit;
}

VariedKey parseVaried(const std::string& text, const Options& options) {
    std::string rest;
    VariedKey varied = keyIn(text, options, rest, kForms);
    const std::size_t dots = rest.find("..");
    if (dots == std::string::npos)
        fillList(varied, text, rest);
    else
        fillSteps(varied, text, rest, dots);
    return varied;
}

VariedKey parseBounds(const std::string& text, const Options& options) {
    std::string rest;
    VariedKey varied = keyIn(text, options, rest, kBoundForms);
    const std::size_t dots = rest.find("..");
    if (dots == std::string::npos) refuse(text, "there are no bounds to look between", kBoundForms);
    fillRange(varied, text, rest.substr(0, dots), rest.substr(dots + 2), kBoundForms);
    return varied;
}

}  // namespace keyfall
