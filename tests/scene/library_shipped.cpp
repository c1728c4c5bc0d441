// The shipped library: it reads, every value has a source, and its figures are those of their
// sources. Not here: single definitions and their mistakes (library_definitions.cpp).
#include <catch2/catch.hpp>
#include <cmath>
#include <set>

#include "scene/library.h"
#include "scene/library_values.h"
#include "scene/spectrum_csv.h"

using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using namespace keyfall;

namespace {

const Library& library() {
    static const Library l = readLibrary();
    return l;
}

double at589(const std::string& column) {
    const auto file = assetsDirectory() / "spectra" / "dielectrics_n.csv";
    return resample(readSpectrumColumns(file).column(column)).at_nm(589);
}

/// Normal reflectance of a conductor in air: ((n-1)^2+k^2)/((n+1)^2+k^2), Fresnel.
double normalReflectance(const ComplexIndex& index, int band) {
    const auto n = static_cast<double>(index.n[band]), k = static_cast<double>(index.k[band]);
    return ((n - 1) * (n - 1) + k * k) / ((n + 1) * (n + 1) + k * k);
}

}  // namespace

TEST_CASE("library: every entry has a source, and the rows are sorted", "[library]") {
    std::set<std::pair<std::string, std::string>> seen;
    std::pair<std::string, std::string> last;
    for (const LibraryEntry& entry : library().entries) {
        INFO(entry.kind << " " << entry.name);
        CHECK(entry.source.size() > 10);
        CHECK_FALSE(entry.values.empty());
        CHECK(seen.emplace(entry.kind, entry.name).second);
        CHECK(last < std::pair(entry.kind, entry.name));
        last = {entry.kind, entry.name};
    }
    CHECK(library().entries.size() == library().lamps.size() + library().materials.size() +
                                          library().fabrics.size() + library().spectra.size() +
                                          library().gels.size() + library().modifiers.size() +
                                          1);  // the one sensor
}

TEST_CASE("library: holds the names that scenes use without defining them", "[library]") {
    for (const char* name : {"slate",         "stoneware",
                             "paper-white",   "paper-grey",
                             "paper-black",   "concrete",
                             "brass-brushed", "brass-polished",
                             "copper",        "glass-clear",
                             "glass-green",   "water",
                             "tea",           "oil",
                             "acrylic-black", "acrylic-white",
                             "ceramic-white", "grey-card",
                             "white-foam",    "white-paper",
                             "silver",        "gold",
                             "black",         "mirror",
                             "white-paint",   "aluminium-satin",
                             "silver-cloth"})
        CHECK(library().materials.count(name) == 1);
    for (const char* name : {"flash-tube", "flash-ring", "flash-bulb", "led-disc", "led-panel",
                             "led-panel-60", "tungsten-bulb"})
        CHECK(library().lamps.count(name) == 1);
    for (const char* name : {"full", "half", "quarter", "eighth", "silk", "grid-cloth"})
        CHECK(library().fabrics.count(name) == 1);
    for (const auto& [name, lamp] : library().lamps)  // a lamp's body is a material
        CHECK(library().materials.count(lamp.surface) == 1);
}

TEST_CASE("library: fabrics pass 2^-stops of the trade's list and keep R + T within 1",
          "[library][law]") {
    // Stops of total transmittance in a collimated beam; common practice, no source.
    const std::pair<const char*, double> rows[] = {
        {"full", 1.5},     {"half", 0.75},  {"quarter", 1.0 / 3},      {"eighth", 0.25},
        {"opal", 0.5},     {"frost", 0.25}, {"heavy-frost", 2.0},      {"grid-cloth", 2.5},
        {"silk", 5.0 / 3}, {"muslin", 2.0}, {"light-grid-cloth", 2.0}, {"quarter-grid-cloth", 1.0}};
    for (const auto& [name, stops] : rows) {
        const Material& fabric = library().fabrics.at(name);
        INFO(name);
        CHECK_THAT(-std::log2(static_cast<double>(fabric.transmittance[7])),
                   WithinAbs(stops, 5e-3));
        CHECK(fabric.base == Base::sheet);
        CHECK(fabric.transmittance[7] + fabric.reflectance[7] < 1.0F);
        CHECK(fabric.straight[7] <= fabric.transmittance[7]);
    }
    // Makers print 0.36, 0.60 and 0.80 for the first three, from memory: within 2 %.
    CHECK_THAT(static_cast<double>(library().fabrics.at("full").transmittance[0]),
               WithinRel(.36, .02));
    CHECK_THAT(static_cast<double>(library().fabrics.at("half").transmittance[0]),
               WithinRel(.60, .02));
    CHECK_THAT(static_cast<double>(library().fabrics.at("quarter").transmittance[0]),
               WithinRel(.80, .02));
}

TEST_CASE("library: no material reflects more than it gets", "[library][law]") {
    for (const auto& [name, material] : library().materials)
        for (int b = 0; b < kBands; ++b) {
            INFO(name << " band " << b);
            CHECK(material.reflectance[b] >= 0.0F);
            CHECK(material.reflectance[b] <= 1.0F);
            CHECK(material.absorption_perM[b] >= 0.0F);
            if (material.index) CHECK(normalReflectance(*material.index, b) < 1.0);
        }
}

TEST_CASE("library: indices of glass, water and acrylic are those of their sources at 589 nm",
          "[library][law]") {
    // assets/spectra/dielectrics_n.csv: Rubin 1985; Daimon & Masumura 2007; Sultanova 2009.
    const auto ior = [](const char* name) {
        return static_cast<double>(library().materials.at(name).ior);
    };
    CHECK_THAT(ior("glass-clear"), WithinAbs(at589("soda_lime_glass"), 1e-3));
    CHECK_THAT(ior("water"), WithinAbs(at589("water"), 1e-3));
    CHECK_THAT(ior("acrylic-clear"), WithinAbs(at589("pmma"), 1e-3));
}

TEST_CASE("metals: normal reflectance from n and k as handbooks give it", "[library][law]") {
    // Green light (band 7, 531-550 nm), from memory: aluminium 0.91-0.92, silver 0.95-0.99, gold
    // 0.7-0.85, copper 0.5-0.65, chromium 0.55-0.7; gold and copper are far brighter in red.
    const auto r = [](const char* metal, int band) {
        return normalReflectance(*metalIndex(metal), band);
    };
    CHECK_THAT(r("aluminium", 7), WithinAbs(0.915, 0.01));
    CHECK_THAT(r("silver", 7), WithinAbs(0.97, 0.02));
    CHECK_THAT(r("gold", 7), WithinAbs(0.775, 0.08));
    CHECK_THAT(r("copper", 7), WithinAbs(0.58, 0.08));
    CHECK_THAT(r("chromium", 7), WithinAbs(0.62, 0.08));
    CHECK(r("gold", 13) > 0.95);
    CHECK(r("gold", 1) < 0.45);
    CHECK(r("copper", 13) > 0.94);
    CHECK_FALSE(metalIndex("unobtainium"));
    CHECK(metalNames().size() == 7);
}

TEST_CASE("metals: n and k of a band are the means of the table, weighted by ybar*D55",
          "[library]") {
    const auto csv = readSpectrumColumns(assetsDirectory() / "spectra" / "metals_nk.csv");
    const Bands n = toBands(resample(csv.column("brass_n")));
    for (int b = 0; b < kBands; ++b) CHECK(metalIndex("brass")->n[b] == n[b]);
    // The mean lies between the smallest and largest value of its band: 550-568.75 nm.
    CHECK(n[8] < 0.53F);
    CHECK(n[8] > 0.44F);
}

TEST_CASE("water: absorbs as pure water does, 0.22 per m at 600 nm", "[library][law]") {
    // R. M. Pope & E. S. Fry, Appl. Opt. 36 (1997): 0.2224 per m at 600 nm, 0.0092 at 450; values
    // from memory. Band 10 is 587.5-606.25 nm, band 2 is 437.5-456.25 nm.
    const Bands& a_perM = library().materials.at("water").absorption_perM;
    CHECK_THAT(static_cast<double>(a_perM[10]), WithinRel(0.21, 0.1));
    CHECK_THAT(static_cast<double>(a_perM[2]), WithinRel(0.0092, 0.1));
}
