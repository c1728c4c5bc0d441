// A series: readings of one set over the values of one key or two. What `series` measures, merges,
// prints and plots. Not here: the command line (command_series.cpp), how figures are found
// (figure.h).
#pragma once

#include <cstdint>
#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

#include "contact_sheet.h"
#include "figure.h"
#include "set_reader.h"
#include "vary.h"

namespace keyfall {

struct SeriesKey {
    std::string key, unit;
    bool isNumber = true;  ///< false: words, one beside the other on the plot
    bool asText = false;   ///< powers and times: the JSON keeps them as they are written
    std::vector<VariedValue> values;
};

struct SeriesRow {
    std::size_t index = 0;                          ///< of all rows; the first key runs fastest
    std::vector<std::optional<Measured>> readings;  ///< one a figure; empty: missing there
    std::string why;                                ///< not empty: the set cannot be like that
    std::string note;                               ///< a shadow edge was measured elsewhere than on the set as written
    std::vector<std::string> missing;  ///< one a figure: why it has no reading; empty: it has one

    /// `why`, or what is missing and why, and the note, for a remark; empty where there is nothing to say.
    std::string remark(const std::vector<std::string>& read) const;
};

struct Series {
    std::string scene, title, quality;
    std::uint32_t seed = 1;
    std::vector<SeriesKey> keys;  ///< one or two
    std::vector<std::string> read, units;
    std::string part;  ///< "2/8"; empty: all of it
    Stopped stopped = Stopped::no;
    std::vector<SeriesRow> rows;  ///< by index

    std::size_t count() const;
    const VariedValue& value(std::size_t index, std::size_t key) const;
};

/// One share of the rows: those with index % of == number.
struct SeriesPart {
    std::size_t number = 0, of = 1;
};

struct SeriesRun {
    std::vector<VariedKey> keys;
    std::vector<Figure> figures;
    SeriesPart part;
    bool needsCamera = false;
    bool pictures = false;  ///< a tile for each row
};

/// Reads, meters and forgets one form after the other; stops between rows when the time is up,
/// within one by Ctrl-C, whose row is then dropped. Fills `plan.rows`, `plan.stopped` and, when
/// asked for, `tiles`.
void runSeries(const SeriesRun& run, SetReader& reader, const Options& options, Series& plan,
               std::vector<SheetTile>& tiles);

std::string seriesText(const Series& series);  ///< series_table.cpp
std::string seriesCsv(const Series& series);  ///< comma, point, quotes as RFC 4180; lines end in LF
nlohmann::ordered_json seriesJson(const Series& series);  ///< series_json.cpp
/// What seriesJson wrote; every number as it was. Throws BadSeriesFile.
Series seriesOfJson(const std::string& file);
/// All rows from the parts. Throws BadSeriesFile: parts of different series, rows twice or missing.
Series mergedSeries(const std::vector<std::string>& files);
/// .svg or .png: each figure against the first key, a curve for each value of the second.
/// series_plot.cpp
void plotSeries(const Series& series, const std::string& file);

/// A file that is no part of this series; exit code 4.
struct BadSeriesFile : std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// "2.01 ± 0.02": as many digits as the interval leaves sure.
std::string shownMeasured(const Measured& m);

}  // namespace keyfall
