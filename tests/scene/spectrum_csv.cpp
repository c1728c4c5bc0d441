// CSV files of spectra: what is read, what is refused with which words, and where data is found.
// Not here: what becomes of the values (spectrum_bands.cpp).
#include "scene/spectrum_csv.h"

#include <catch2/catch.hpp>
#include <cstdlib>
#include <fstream>
#include <string>

using namespace keyfall;

namespace {

/// A file in the system's temporary directory that goes away with the test.
struct TemporaryFile {
    std::filesystem::path path;
    explicit TemporaryFile(const std::string& text)
        : path(std::filesystem::temp_directory_path() / "keyfall_spectrum_csv_test.csv") {
        std::ofstream(path, std::ios::binary) << text;
    }
    ~TemporaryFile() { std::filesystem::remove(path); }
};

std::string problemOf(const std::string& text, int line) {
    const TemporaryFile file(text);
    try {
        readSpectrumCsv(file.path);
    } catch (const CsvError& e) {
        CHECK(e.line == line);
        CHECK(std::string(e.what()).find(file.path.string()) == 0);
        return e.problem;
    }
    return "accepted";
}

}  // namespace

TEST_CASE("CSV: comments, heading, separators, line ends and a byte order mark", "[spectrum]") {
    for (const char* text : {"# note\nwavelength_nm,value\n400,0.1\n700,0.5\n", "400;0.1\n700;0.5",
                             "\xEF\xBB\xBF"
                             "400\t0.1\r\n\r\n700\t0.5\r\n",
                             "  400 , +1e-1 \n 700 , 0.5 \n#end\n"}) {
        const TemporaryFile file(text);
        const SpectrumTable table = readSpectrumCsv(file.path);
        REQUIRE(table.wavelength_nm == std::vector<double>{400, 700});
        REQUIRE(table.value == std::vector<double>{0.1, 0.5});
    }
}

TEST_CASE("CSV: columns by name", "[spectrum]") {
    const TemporaryFile file("nm,n,k\n400,1,2\n700,3,4\n");
    const SpectrumCsv csv = readSpectrumColumns(file.path);
    CHECK(csv.column("k").value == std::vector<double>{2, 4});
    CHECK(csv.has("n"));
    CHECK_FALSE(csv.has("x"));
    CHECK_THROWS_AS(csv.column("x"), std::out_of_range);
}

TEST_CASE("CSV: mistakes name the line and what is allowed", "[spectrum]") {
    CHECK(problemOf("400,0.1\n500,x\n", 2) == "'x' is no number; write decimals with a point");
    CHECK(problemOf("400,0.1\n500,\n", 2) == "'' is no number; write decimals with a point");
    CHECK(problemOf("400,0.1\n500,nan\n", 2) == "'nan' is no number; write decimals with a point");
    CHECK(problemOf("400,0.1\n500,1e999\n", 2) ==
          "'1e999' is no number; write decimals with a point");
    CHECK(problemOf("400,0.1\n400,0.2\n", 2) == "wavelength 400 after 400; they must rise");
    CHECK(problemOf("0.4,0.1\n0.5,0.2\n", 1) ==
          "wavelength 0.4; nanometres from 100 to 100000 are allowed; micrometres are to be "
          "multiplied by 1000");
    CHECK(problemOf("400,0.1\n500,0.2,0.3\n", 2) == "2 values; the lines before have 1");
    CHECK(problemOf("400\n", 1) ==
          "one column: '400'; a wavelength in nm and a value are needed, separated by a comma");
    CHECK(problemOf("nm,value\nnm,value\n", 2) == "'nm' is no number; write decimals with a point");
    CHECK(problemOf("# nothing\n", 0) == "0 rows of numbers; a spectrum needs at least 2");
    CHECK(problemOf("400,0.1\n", 0) == "1 rows of numbers; a spectrum needs at least 2");
    CHECK(problemOf("400,1,2\n500,1,2\n", 0) == "2 value columns; one is allowed here: nm, value");
    CHECK_THROWS_AS(readSpectrumCsv("/nowhere/at/all.csv"), CsvError);
    CHECK_THROWS_AS(readSpectrumCsv(std::filesystem::temp_directory_path()), CsvError);
}

TEST_CASE("data directory: KEYFALL_ASSETS stands first, and a wrong one is named", "[spectrum]") {
    const char* before = std::getenv("KEYFALL_ASSETS");
    const std::string kept = before ? before : "";
    setenv("KEYFALL_ASSETS", (std::string(KEYFALL_ROOT) + "/assets").c_str(), 1);
    CHECK(assetsDirectory() == std::filesystem::path(KEYFALL_ROOT) / "assets");
    setenv("KEYFALL_ASSETS", "/nowhere/at/all", 1);
    CHECK_THROWS_WITH(assetsDirectory(), Catch::Matchers::Contains("/nowhere/at/all") &&
                                             Catch::Matchers::Contains("set KEYFALL_ASSETS"));
    unsetenv("KEYFALL_ASSETS");
    CHECK(std::filesystem::exists(assetsDirectory() / "spectra" / "cie_1931_2deg.csv"));
    if (before) setenv("KEYFALL_ASSETS", kept.c_str(), 1);
}
