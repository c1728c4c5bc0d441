// Photometric texts written inside tests. Not here: any check.
#pragma once

#include <catch2/catch.hpp>
#include <iomanip>
#include <sstream>
#include <string>
#include <vector>

namespace keyfall::test {

/// The least LM-63 file, of a Lambertian lamp of 1000 cd.
inline const std::string kMinimalLm63 =
    "IESNA:LM-63-2002\r\n[TEST] EXAMPLE-001\r\n[TESTLAB] none (computed)\r\n[ISSUEDATE] "
    "2025-01-01\r\n"
    "[MANUFAC] none\r\nTILT=NONE\r\n1 -1 1.0 10 1 1 2 -0.18 -0.18 0.0\r\n1.0 1.0 60\r\n"
    "0 10 20 30 40 50 60 70 80 90\r\n0\r\n1000.0 984.8 939.7 866.0 766.0 642.8 500.0 342.0 173.6 "
    "0.0\r\n";

struct MeasuredTable {
    std::vector<double> vertical;
    std::vector<double> horizontal;
    std::vector<double> candela;  ///< all verticals for each horizontal
};

struct Lm63Form {
    std::string first = "IESNA:LM-63-2002";
    std::string tilt = "TILT=NONE";
    std::string lamps = "1 -1 1";  ///< number, lumens, multiplier
    std::string units = "1 2";     ///< type, unit
    std::string opening = "0.4 0.3 0";
    std::string ballast = "1 1 60";
};

inline std::string lm63(const MeasuredTable& table, const Lm63Form& form = {}) {
    std::ostringstream text;
    text << std::setprecision(17);
    if (!form.first.empty()) text << form.first << "\n";
    text << "[TEST] made here\n"
         << form.tilt << "\n"
         << form.lamps << " " << table.vertical.size() << " " << table.horizontal.size() << " "
         << form.units << " " << form.opening << "\n"
         << form.ballast << "\n";
    for (const auto* list : {&table.vertical, &table.horizontal, &table.candela}) {
        for (const double value : *list) text << value << " ";
        text << "\n";
    }
    return text.str();
}

struct LdtForm {
    int isym = 1;
    std::vector<double> c{0};
    std::vector<double> g{0, 45, 90};
    std::vector<double> intensity;  ///< cd per 1000 lm
    std::string length = "180", width = "0";
    std::string lamps = "1", flux = "1000", factor = "1", lorl = "80";
    int sets = 1;
};

inline std::string ldt(const LdtForm& form) {
    std::ostringstream text;
    text << std::setprecision(17);
    const auto line = [&text](const auto& value) { text << value << "\r\n"; };
    line("none");
    line(1);
    line(form.isym);
    line(form.c.size());
    line(0);
    line(form.g.size());
    line(0);
    for (int i = 0; i < 8; ++i) line(i < 5 ? "text" : "200");
    line(form.length);
    line(form.width);
    for (int i = 0; i < 4; ++i) line("0");
    line(100);
    line(form.lorl);
    line(form.factor);
    line(0);
    line(form.sets);
    for (int set = 0; set < form.sets; ++set) {
        line(set == 0 ? form.lamps : "7");
        line("led");
        line(set == 0 ? form.flux : "777");
        line(3000);
        line(90);
        line(60);
    }
    for (int i = 0; i < 10; ++i) line(0.5);
    for (const auto* list : {&form.c, &form.g, &form.intensity})
        for (const double value : *list) line(value);
    return text.str();
}

}  // namespace keyfall::test
