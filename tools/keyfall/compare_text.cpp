// The comparison as lines: one a variant, then what differs from the first and how surely.
#include <fmt/core.h>

#include <cmath>

#include "compare_report.h"
#include "report_edges.h"
#include "scene/diagnostics.h"

namespace keyfall {
namespace {

/// Letters, not bytes: "±" is one.
std::size_t lengthOf(const std::string& text) {
    std::size_t letters = 0;
    for (const char c : text) letters += (static_cast<unsigned char>(c) & 0xC0U) != 0x80U ? 1U : 0U;
    return letters;
}

using Row = std::vector<std::string>;

/// Columns as wide as their widest cell.
std::string table(const std::vector<Row>& rows) {
    std::vector<std::size_t> width(rows.front().size());
    for (const Row& row : rows)
        for (std::size_t c = 0; c < row.size(); ++c) width[c] = std::max(width[c], lengthOf(row[c]));
    std::string text;
    for (const Row& row : rows) {
        std::string line;
        for (std::size_t c = 0; c < row.size(); ++c)
            line += row[c] + std::string(c + 1 < row.size() ? width[c] + 3 - lengthOf(row[c]) : 0, ' ');
        text += line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
    }
    return text;
}

std::string plusMinus(const std::optional<Measured>& m) {
    return m ? fmt::format("{:+.2f} ± {:.2f}", m->value, m->interval95.half()) : "no reading";
}

std::string edgeText(const ShownVariant& v) {
    const ShadowEdge* edge = mainEdge(v);
    if (edge == nullptr) return "-";
    return fmt::format("{:.1f} ± {:.1f} mm at {:.1f} cm, {}", 1e3 * edge->width10to90_m.value,
                       1e3 * edge->width10to90_m.interval95.half(), 1e2 * edge->throw_m, wordOf(*edge));
}

std::string clippedText(const Report& report) {
    if (!report.clipping) return "-";
    if (report.clipping->productCoverage > 0.0) return fmt::format("{:.1f} %", 100.0 * report.clipping->product);
    return fmt::format("{:.1f} % of the picture", 100.0 * report.clipping->picture);
}

bool hasEdges(const CompareReport& report) {
    for (const ShownVariant& v : report.shown)
        if (v.set->report.edges) return true;
    return false;
}

Row headOf(const CompareReport& report, const std::optional<ContrastPair>& pair, const std::string& background) {
    Row head = {"variant", report.plan.equal.moves() ? "set for equal exposure" : "light"};
    if (!report.plan.equal.at.empty()) head.push_back(report.plan.equal.at + " (stops over)");
    if (pair) head.push_back(pair->lit + " : " + pair->shadow);
    if (!background.empty()) head.emplace_back("background from grey");
    if (hasEdges(report)) head.emplace_back("shadow edge, 10-90 % at its throw");
    head.emplace_back("clipped of the product");
    return head;
}

/// "key 1/4+0.31 (+1.40 ± 0.01 stops)"; the interval stands in the last bracket.
std::string compensationCell(const ShownVariant& v) {
    std::string text = compensationText(v.set->scene, v.compensation);
    if (v.compensation.stops.interval95.half() > 0.0 && text.back() == ')')
        text.insert(text.rfind(" stop"), fmt::format(" ± {:.2f}", v.compensation.stops.interval95.half()));
    for (const Compensation::Beyond& b : v.compensation.beyond)
        text += fmt::format(" {}: {:.1f} stops {}", b.lamp, std::abs(b.stops), b.stops > 0.0 ? "more than this lamp has" : "less than its lowest power");
    return text;
}

std::string variantTable(const CompareReport& report) {
    const auto pair = contrastPair(report);
    const std::string background = backgroundName(report.shown.front().set->report);
    std::vector<Row> rows = {headOf(report, pair, background)};
    for (const ShownVariant& v : report.shown) {
        const Report& r = v.set->report;
        Row row = {v.plan.name, compensationCell(v)};
        if (!report.plan.equal.at.empty()) row.push_back(plusMinus(overAt(r, report.plan.equal.at)));
        if (pair) row.push_back(plusMinus(contrastOf(r, *pair)));
        if (!background.empty()) row.push_back(plusMinus(overAt(r, background)));
        if (hasEdges(report)) row.push_back(edgeText(v));
        row.push_back(clippedText(r));
        rows.push_back(std::move(row));
    }
    return table(rows);
}

std::string edgeChangeText(const ShownVariant& first, const ShownVariant& v) {
    const EdgeChange change = edgeChange(mainEdge(first), mainEdge(v));
    if (!change.factor) return "no factor: " + change.why;
    return fmt::format("{:.2g} ± {:.1g} times as wide{}", change.factor->value, change.factor->interval95.half(),
                       change.atSameThrow ? ", at the same throw" : "");
}

std::string changeTable(const CompareReport& report) {
    const ShownVariant& first = report.shown.front();
    const auto pair = contrastPair(report);
    const std::string background = backgroundName(first.set->report);
    std::vector<Row> rows = {{"against " + first.plan.name}};
    if (pair) rows[0].push_back(pair->lit + " : " + pair->shadow);
    if (!background.empty()) rows[0].emplace_back("background");
    if (hasEdges(report)) rows[0].emplace_back("shadow edge");
    if (rows[0].size() == 1) return {};
    for (std::size_t i = 1; i < report.shown.size(); ++i) {
        const ShownVariant& v = report.shown[i];
        Row row = {v.plan.name};
        if (pair) row.push_back(plusMinus(contrastChange(first.set->report, v.set->report, *pair)));
        if (!background.empty()) row.push_back(plusMinus(overChange(first.set->report, v.set->report, background)));
        if (hasEdges(report)) row.push_back(edgeChangeText(first, v));
        rows.push_back(std::move(row));
    }
    return table(rows);
}

std::string headLine(const CompareReport& report) {
    const Scene& scene = report.shown.front().set->scene;
    std::string line = fmt::format("{} · {} of {} variants · {}", scene.file.filename().string(),
                                   report.shown.size(), report.plan.variants.size(), exposureText(report));
    if (report.stopped == Stopped::interrupted) line += " · interrupted";
    if (report.stopped == Stopped::time) line += " · time is up";
    if (report.stopped == Stopped::noise) line += " · noise not reached";
    return line + "\n";
}

std::string dialLine(const CompareReport& report) {
    std::string line;
    for (const ShownVariant& v : report.shown)
        if (const std::string dial = dialText(v.set->scene, v.compensation); !dial.empty())
            line += fmt::format("{}{}: {}", line.empty() ? "nearest on the dial: " : "; ", v.plan.name, dial);
    return line.empty() ? line : line + "\n";
}

}  // namespace

std::string textOf(const CompareReport& report) {
    if (report.shown.empty()) return {};
    std::string text = headLine(report) + "\n" + variantTable(report);
    if (report.shown.size() > 1) text += "\n" + changeTable(report);
    text += "\n" + dialLine(report);
    for (const MadeDifference& d : report.differences)
        text += fmt::format("{} against {}: {:.0f} % of the picture surely brighter, {:.0f} % darker, {:.0f} % within the noise\n",
                            report.plan.variants[d.plan.to].name, report.plan.variants[d.plan.from].name, 100.0 * d.shares.brighter,
                            100.0 * d.shares.darker, 100.0 * d.shares.withinNoise);
    for (const Warning& w : warningsOf(report)) text += fmt::format("warning: {}\n", w.text);
    return text;
}

}  // namespace keyfall
