// A series as JSON, and back: parts that ran apart are put together from what they wrote. Numbers
// come back as they were, to the last bit. Not here: what is in the other reports
// (report_json.cpp).
#include <fmt/core.h>

#include <algorithm>
#include <fstream>

#include "json_numbers.h"
#include "series.h"

namespace keyfall {
namespace {

Json keyJson(const SeriesKey& k) {
    Json values = Json::array();
    for (const VariedValue& v : k.values) values.push_back({{"text", v.text}, {"x", v.x}});
    return {{"key", k.key},
            {"unit", k.unit},
            {"is_number", k.isNumber},
            {"as_text", k.asText},
            {"values", values}};
}

SeriesKey keyOf(const Json& j) {
    SeriesKey k{j.at("key"), j.at("unit"), j.at("is_number"), j.at("as_text"), {}};
    for (const Json& v : j.at("values")) k.values.push_back({v.at("text"), v.at("x")});
    if (k.values.empty()) throw BadSeriesFile("a key of the series has no values");
    return k;
}

Json rowJson(const Series& series, const SeriesRow& row) {
    Json values = Json::array();
    for (std::size_t k = 0; k < series.keys.size(); ++k) {
        const VariedValue& v = series.value(row.index, k);
        const SeriesKey& key = series.keys[k];
        values.push_back(key.isNumber && !key.asText ? Json(v.x) : Json(v.text));
    }
    Json readings = Json::object();
    for (std::size_t f = 0; f < row.readings.size(); ++f) {
        const auto& m = row.readings[f];
        readings[series.read[f]] =
            m ? Json{{"value", number(m->value)}, {"interval95", pair(m->interval95)}}
              : Json(nullptr);
    }
    Json missing = Json::object();
    for (std::size_t f = 0; f < row.missing.size(); ++f)
        if (!row.missing[f].empty()) missing[series.read[f]] = row.missing[f];
    return {{"row", row.index},
            {"values", values},
            {"readings", readings},
            {"missing", missing},
            {"why", row.why.empty() ? Json(nullptr) : Json(row.why)},
            {"note", row.note.empty() ? Json(nullptr) : Json(row.note)}};
}

SeriesRow rowOf(const Json& j, const std::vector<std::string>& read) {
    SeriesRow row;
    row.index = j.at("row");
    if (!j.at("why").is_null()) row.why = j.at("why");
    if (!j.at("note").is_null()) row.note = j.at("note");
    for (const std::string& figure : read) {
        const Json& m = j.at("readings").at(figure);
        row.missing.push_back(j.at("missing").value(figure, ""));
        if (m.is_null())
            row.readings.emplace_back();
        else
            row.readings.push_back(
                Measured{m.at("value"), {m.at("interval95").at(0), m.at("interval95").at(1)}});
    }
    return row;
}

Stopped stoppedOf(const Json& j) {
    for (const Stopped s : {Stopped::time, Stopped::interrupted, Stopped::noise})
        if (j == stoppedJson(s)) return s;
    return Stopped::no;
}

Json warningsJson(const Series& series) {
    Json warnings = Json::array();
    for (const SeriesRow& row : series.rows) {
        if (!row.note.empty())
            warnings.push_back({{"code", "edge-moved"},
                                {"text", fmt::format("row {}: {}", row.index, row.note)}});
        if (!row.why.empty())
            warnings.push_back({{"code", "row-impossible"},
                                {"text", fmt::format("row {}: {}", row.index, row.why)}});
        else if (std::any_of(row.readings.begin(), row.readings.end(),
                             [](const auto& m) { return !m; }))
            warnings.push_back(
                {{"code", "reading-missing"},
                 {"text", fmt::format("row {}: {}", row.index, row.remark(series.read))}});
    }
    return warnings;
}

/// What parts of one series have in common.
Json commonOf(Series series) {
    series.rows.clear();
    series.part.clear();
    series.stopped = Stopped::no;
    return seriesJson(series);
}

std::string listed(const std::vector<std::size_t>& rows) {
    std::string text;
    for (std::size_t i = 0; i < rows.size() && i < 8; ++i)
        text += (i > 0 ? ", " : "") + std::to_string(rows[i]);
    return rows.size() > 8 ? text + ", ..." : text;
}

void requireWhole(const Series& series) {
    std::vector<std::size_t> missing;
    std::size_t at = 0;
    for (std::size_t index = 0; index < series.count(); ++index) {
        if (at < series.rows.size() && series.rows[at].index == index)
            ++at;
        else
            missing.push_back(index);
    }
    if (missing.empty()) return;
    throw BadSeriesFile(fmt::format(
        "the parts lack {} of {} rows (row {}); allowed: all parts, each run to its end; "
        "run what is missing and merge again",
        missing.size(), series.count(), listed(missing)));
}

}  // namespace

nlohmann::ordered_json seriesJson(const Series& series) {
    Json j = {{"program", "keyfall"},
              {"schema", 1},
              {"version", KEYFALL_VERSION},
              {"scene", series.scene},
              {"title", series.title},
              {"seed", series.seed},
              {"stopped", stoppedJson(series.stopped)}};
    Json s;
    s["vary"] = Json::array();
    for (const SeriesKey& k : series.keys) s["vary"].push_back(k.key);
    s["quality"] = series.quality;
    s["part"] = series.part.empty() ? Json(nullptr) : Json(series.part);
    s["keys"] = Json::array();
    for (const SeriesKey& k : series.keys) s["keys"].push_back(keyJson(k));
    s["read"] = series.read;
    s["units"] = series.units;
    s["rows"] = Json::array();
    for (const SeriesRow& row : series.rows) s["rows"].push_back(rowJson(series, row));
    j["series"] = s;
    j["warnings"] = warningsJson(series);
    return j;
}

Series seriesOfJson(const std::string& file) {
    std::ifstream in(file, std::ios::binary);
    if (!in)
        throw BadSeriesFile(file +
                            ": this file cannot be read; allowed: what `series --part` wrote by "
                            "--json; check the path");
    try {
        const Json j = Json::parse(in);
        Series series;
        series.scene = j.at("scene"), series.title = j.at("title"), series.seed = j.at("seed");
        series.stopped = stoppedOf(j.at("stopped"));
        const Json& s = j.at("series");
        series.quality = s.at("quality");
        for (const Json& key : s.at("keys")) series.keys.push_back(keyOf(key));
        series.read = s.at("read").get<std::vector<std::string>>();
        series.units = s.at("units").get<std::vector<std::string>>();
        if (j.at("program") != "keyfall" || j.at("version") != KEYFALL_VERSION ||
            series.units.size() != series.read.size() || series.keys.empty() ||
            series.keys.size() > 2)
            throw BadSeriesFile("it is of another version");
        for (const Json& row : s.at("rows")) series.rows.push_back(rowOf(row, series.read));
        for (const SeriesRow& row : series.rows)
            if (row.index >= series.count())
                throw BadSeriesFile("it has a row more than the series");
        return series;
    } catch (const std::exception& e) {
        throw BadSeriesFile(fmt::format(
            "{}: this is no part of a series ({}); allowed: what `series --part` of this version "
            "wrote by --json; run that part again",
            file, e.what()));
    }
}

Series mergedSeries(const std::vector<std::string>& files) {
    Series all = seriesOfJson(files.at(0));
    const Json common = commonOf(all);
    all.part.clear();
    all.stopped = all.stopped == Stopped::noise ? Stopped::noise : Stopped::no;
    for (std::size_t i = 1; i < files.size(); ++i) {
        const Series part = seriesOfJson(files[i]);
        if (commonOf(part) != common)
            throw BadSeriesFile(
                fmt::format("{}: this part is of another series than {}; allowed: parts of one "
                            "scene with the same "
                            "--vary, --read, --seed and --quality; run it again",
                            files[i], files[0]));
        if (part.stopped == Stopped::noise) all.stopped = Stopped::noise;
        all.rows.insert(all.rows.end(), part.rows.begin(), part.rows.end());
    }
    std::stable_sort(all.rows.begin(), all.rows.end(),
                     [](const SeriesRow& a, const SeriesRow& b) { return a.index < b.index; });
    const auto twice = std::adjacent_find(
        all.rows.begin(), all.rows.end(),
        [](const SeriesRow& a, const SeriesRow& b) { return a.index == b.index; });
    if (twice != all.rows.end())
        throw BadSeriesFile(
            fmt::format("row {} is in two of the parts; allowed: each once; leave one of them out",
                        twice->index));
    requireWhole(all);
    return all;
}

}  // namespace keyfall
