// Tables of wavelength and values from CSV files. Not here: resampling and bands (fine_spectrum.h).
#include "scene/spectrum_csv.h"

#include <fmt/format.h>
#include <algorithm>
#include <fstream>

#include "scene/photo_text.h"

namespace keyfall {
namespace {

std::string place(const std::filesystem::path& file, int line) {
    return line > 0 ? fmt::format("{}:{}: ", file.string(), line) : file.string() + ": ";
}

std::vector<std::string> cells(std::string_view line) {
    std::vector<std::string> out;
    while (true) {
        const auto end = line.find_first_of(",;\t");
        out.emplace_back(trimmed(line.substr(0, end)));
        if (end == std::string_view::npos) return out;
        line.remove_prefix(end + 1);
    }
}

struct Parser {
    const std::filesystem::path& file;
    SpectrumCsv table;
    int lineNumber = 0;
    bool headingRead = false;

    [[noreturn]] void fail(const std::string& problem) const {
        throw CsvError(file, lineNumber, problem);
    }

    void line(std::string_view text) {
        ++lineNumber;
        if (lineNumber == 1 && text.substr(0, 3) == "\xEF\xBB\xBF") text.remove_prefix(3);
        text = trimmed(text);
        if (text.empty() || text[0] == '#') return;
        const std::vector<std::string> row = cells(text);
        if (row.size() < 2)
            fail(
                fmt::format("one column: '{}'; a wavelength in nm and a value are needed, "
                            "separated by a comma",
                            row[0]));
        if (table.wavelength_nm.empty() && !headingRead && !parseNumber(row[0])) {
            headingRead = true;
            table.names.assign(row.begin() + 1, row.end());
            return;
        }
        numbers(row);
    }

    double number(const std::string& cell) const {
        const auto value = parseNumber(cell);
        if (!value) fail(fmt::format("'{}' is no number; write decimals with a point", cell));
        return *value;
    }

    void numbers(const std::vector<std::string>& row) {
        if (table.value.empty()) table.value.resize(row.size() - 1);
        const std::size_t expected = headingRead ? table.names.size() : table.value.size();
        if (row.size() - 1 != expected)
            fail(fmt::format("{} values; the lines before have {}", row.size() - 1, expected));
        const double nm = number(row[0]);
        if (!(nm >= 100.0 && nm <= 1e5))
            fail(fmt::format(
                "wavelength {:g}; nanometres from 100 to 100000 are allowed{}", nm,
                nm > 0.1 && nm < 100.0 ? "; micrometres are to be multiplied by 1000" : ""));
        if (!table.wavelength_nm.empty() && nm <= table.wavelength_nm.back())
            fail(fmt::format("wavelength {:g} after {:g}; they must rise", nm,
                             table.wavelength_nm.back()));
        table.wavelength_nm.push_back(nm);
        for (std::size_t c = 0; c + 1 < row.size(); ++c)
            table.value[c].push_back(number(row[c + 1]));
    }
};

}  // namespace

CsvError::CsvError(const std::filesystem::path& file, int atLine, const std::string& what)
    : std::runtime_error(place(file, atLine) + what), line(atLine), problem(what) {}

bool SpectrumCsv::has(const std::string& name) const {
    return std::find(names.begin(), names.end(), name) != names.end();
}

SpectrumTable SpectrumCsv::column(const std::string& name) const {
    const auto found = std::find(names.begin(), names.end(), name);
    if (found == names.end()) throw std::out_of_range("no column '" + name + "'");
    return {wavelength_nm, value[static_cast<std::size_t>(found - names.begin())]};
}

SpectrumCsv readSpectrumColumns(const std::filesystem::path& file) {
    std::ifstream in(file);
    if (!in) throw CsvError(file, 0, "cannot be opened");
    Parser parser{file, {}, 0, false};
    for (std::string line; std::getline(in, line);) parser.line(line);
    if (in.bad() || parser.table.wavelength_nm.size() < 2)
        throw CsvError(file, 0,
                       fmt::format("{} rows of numbers; a spectrum needs at least 2",
                                   parser.table.wavelength_nm.size()));
    return parser.table;
}

SpectrumTable readSpectrumCsv(const std::filesystem::path& file) {
    SpectrumCsv table = readSpectrumColumns(file);
    if (table.value.size() != 1)
        throw CsvError(
            file, 0,
            fmt::format("{} value columns; one is allowed here: nm, value", table.value.size()));
    return {table.wavelength_nm, table.value[0]};
}

}  // namespace keyfall
