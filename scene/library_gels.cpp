// One [gel.NAME] table as a filter. Not here: light through it (gel.cpp).
#include "scene/library_gels.h"

#include <cmath>
#include <stdexcept>
#include <string_view>

#include "scene/library_table.h"
#include "scene/library_values.h"

namespace keyfall {
namespace {

constexpr double kUsualLamp_K = 5500.0;  // a flash

FineSpectrum evenly(double transmittance) {
    FineSpectrum t;
    t.value.fill(transmittance);
    return t;
}

double luminousOf(const DefinitionTable& t) {
    const auto share = t.number("transmittance");
    if (!share)
        t.fail("transmittance", "missing; the luminous share that a swatch book states is needed");
    if (!(*share > 0.0 && *share <= 1.0)) t.fail("transmittance", "above 0 and up to 1 is allowed");
    return *share;
}

/// Neutral by a number, any colour by a CSV file.
FineSpectrum asMeasured(const DefinitionTable& t) {
    const Value* value = t.table.find("transmittance");
    if (value == nullptr)
        t.fail("transmittance", "missing; mired_shift, green, stops or a transmittance is needed");
    if (!value->isText()) return evenly(luminousOf(t));
    const FineSpectrum spectrum = fineShareFromCsv(t.file(value->text));
    Gel measured;
    measured.transmittance = spectrum;
    if (luminousTransmittance(evenly(1.0), measured) > 0.0) return spectrum;
    t.fail("transmittance", "0 everywhere; some visible light has to pass");
}

FineSpectrum coloured(const DefinitionTable& t, const char* key, double amount) {
    const double lamp_K = t.number("designed_for").value_or(kUsualLamp_K);
    try {
        if (std::string_view(key) == "mired_shift")
            return transmittanceForShift(lamp_K, amount, luminousOf(t));
        return greenFilm(amount / 100.0, lampSpectrum(lamp_K), luminousOf(t));
    } catch (const std::invalid_argument& error) {
        t.fail(key, error.what());
    }
}

}  // namespace

Gel gelFrom(const std::string& name, const Value& table, const std::filesystem::path& directory) {
    const DefinitionTable t{table, directory};
    Gel gel;
    gel.name = name;
    gel.source = t.text("source").value_or("");
    const auto shift = t.number("mired_shift"), green = t.number("green"), stops = t.number("stops");
    if (shift.has_value() + green.has_value() + stops.has_value() > 1)
        t.fail(shift ? "mired_shift" : "green", "one of mired_shift, green and stops is allowed");
    if (stops) {
        if (table.find("transmittance"))
            t.fail("stops", "given beside transmittance; one is allowed");
        gel.transmittance = evenly(std::exp2(-*stops));
    } else if (shift) {
        gel.miredShift = *shift;
        gel.transmittance = coloured(t, "mired_shift", *shift);
    } else {
        gel.transmittance = green ? coloured(t, "green", *green) : asMeasured(t);
    }
    return gel;
}

}  // namespace keyfall
