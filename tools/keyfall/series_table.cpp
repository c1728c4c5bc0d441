// A series as lines for people and as CSV. Not here: JSON (series_json.cpp), plots
// (series_plot.cpp).
#include <fmt/core.h>

#include <algorithm>

#include "series.h"

namespace keyfall {
namespace {

/// Letters, not bytes: a byte 10xxxxxx goes on with the letter before it.
std::size_t width(const std::string& text) {
    return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
        return (static_cast<unsigned char>(c) & 0xc0U) != 0x80U;
    }));
}

using Cells = std::vector<std::string>;

/// Columns to the right, two spaces between them.
std::string aligned(const std::vector<Cells>& lines) {
    std::vector<std::size_t> most;
    for (const Cells& line : lines) {
        most.resize(std::max(most.size(), line.size()));
        for (std::size_t c = 0; c < line.size(); ++c) most[c] = std::max(most[c], width(line[c]));
    }
    std::string text;
    for (const Cells& line : lines) {
        std::string row;
        for (std::size_t c = 0; c < line.size(); ++c)
            row += std::string(c > 0 ? 2 : 0, ' ') + std::string(most[c] - width(line[c]), ' ') +
                   line[c];
        row.erase(row.find_last_not_of(' ') + 1);
        text += row + "\n";
    }
    return text;
}

std::string quoted(const std::string& cell) {
    if (cell.find_first_of(",\"\n\r") == std::string::npos) return cell;
    std::string text = "\"";
    for (const char c : cell) text += c == '"' ? std::string("\"\"") : std::string(1, c);
    return text + "\"";
}

std::string csvLine(const Cells& cells) {
    std::string line;
    for (std::size_t c = 0; c < cells.size(); ++c) line += (c > 0 ? "," : "") + quoted(cells[c]);
    return line + "\n";
}

}  // namespace

std::string seriesText(const Series& series) {
    std::string text = fmt::format(
        "{} · {} rows{} · {} · seed {}\n", series.scene, series.rows.size(),
        series.rows.size() < series.count() ? fmt::format(" of {}", series.count()) : "",
        series.quality, series.seed);
    std::vector<Cells> lines(2);
    for (const SeriesKey& k : series.keys) {
        lines[0].push_back(k.key);
        lines[1].push_back(k.asText ? "" : k.unit);
    }
    for (std::size_t f = 0; f < series.read.size(); ++f) {
        lines[0].push_back(series.read[f]);
        lines[1].push_back(series.units[f]);
    }
    std::string remarks;
    for (const SeriesRow& row : series.rows) {
        Cells cells;
        for (std::size_t k = 0; k < series.keys.size(); ++k)
            cells.push_back(series.value(row.index, k).text);
        if (const std::string remark = row.remark(series.read); !remark.empty())
            remarks += fmt::format("{}{}: {}\n", fmt::join(cells, ", "),
                                   row.why.empty() ? "" : " cannot be", remark);
        for (const auto& m : row.readings)
            cells.push_back(m ? shownMeasured(*m) : row.why.empty() ? "no reading" : "-");
        lines.push_back(cells);
    }
    return text + aligned(lines) + remarks;
}

std::string seriesCsv(const Series& series) {
    Cells head;
    for (const SeriesKey& k : series.keys) head.push_back(k.key);
    for (std::size_t f = 0; f < series.read.size(); ++f) {
        head.push_back(series.read[f] +
                       (series.units[f].empty() ? "" : " [" + series.units[f] + "]"));
        head.push_back(series.read[f] + " low");
        head.push_back(series.read[f] + " high");
    }
    head.emplace_back("remark");
    std::string text = csvLine(head);
    for (const SeriesRow& row : series.rows) {
        Cells cells;
        for (std::size_t k = 0; k < series.keys.size(); ++k)
            cells.push_back(series.value(row.index, k).text);
        for (const auto& m : row.readings)
            for (const double x :
                 {m ? m->value : 0.0, m ? m->interval95.low : 0.0, m ? m->interval95.high : 0.0})
                cells.push_back(m ? fmt::format("{}", x) : "");
        cells.push_back(row.remark(series.read));
        text += csvLine(cells);
    }
    return text;
}

}  // namespace keyfall
