// The schema's tables for definitions and for what commands use: one row a key. Data only; see
// schema.h for the columns.
#include "scene/schema_tables.h"

namespace keyfall::schema {

const std::vector<Key> edge = {
    {"name", Type::name, {}, "", "", Need::required},
    {"from", Type::triple, kPlace, "cm", "", Need::required},
    {"to", Type::triple, kPlace, "cm", "", Need::required},
    {"on", Type::flag, {}, "", "true"},
    {"caption", Type::text},
};

const std::vector<Key> variant = {
    {"name", Type::name, {}, "", "", Need::required},
    {"set", Type::paths, {}, "", "", Need::required},
    {"caption", Type::text},
};

const std::vector<Key> compare = {
    {"equal_at", Type::name},
    {"by", Type::word, {}, "power|iso|shutter|aperture|none", "\"power\""},
    {"lamps", Type::lamps, {}, "changed|all", "\"changed\""},
};

const std::vector<Key> limits = {
    {"aperture", Type::pair, between(0.5, 512), "f-number"},
    {"shutter", Type::times, between(1e-6, 86400), "s"},
    {"iso", Type::pair, between(0.1, 1e7), "ISO"},
    {"prefer", Type::texts, {}, "depth|grain|blur|ambient|flash|continuous"},
};

const std::vector<Key> motion = {
    {"speed", Type::number, atLeast(0), "cm/s"},
};

const std::vector<Key> video = {
    {"fps", Type::number, between(1, 1000), "frames/s", "25"},
    {"shutter_angle", Type::number, between(1, 360), "degrees", "180"},
    {"mains", Type::number, between(10, 1000), "Hz", "50"},
};

const std::vector<Key> lamp = {
    {"shape", Type::word, {}, "sphere|tube|ring|disc|panel", "", Need::required},
    {"size", Type::numbers, kSize, "cm", "", Need::required},
    {"both_sides", Type::flag, {}, "", "false"},
    {"colour_temperature", Type::number, kKelvin, "K", "5500"},
    {"spectrum", Type::text},
    {"lumens_per_watt", Type::number, between(0.01, 683), "lm/W", "90"},
    {"lumen_seconds_per_watt_second", Type::number, between(0.01, 683), "lm·s/(W·s)", "30"},
    {"lowest_power", Type::power},
    {"power_step", Type::number, between(0.001, 20), "stops"},
    {"t05", Type::time, between(1e-7, 10), "s"},
    {"t05_lowest", Type::time, between(1e-7, 10), "s"},
    {"surface", Type::text, {}, "", "\"white-paper\""},
    {"source", Type::text},
    {"caption", Type::text},
};

const std::vector<Key> fabric = {
    {"transmittance", Type::factor, kShare, "", "", Need::required},
    {"reflectance", Type::factor, kShare, "", "", Need::required},
    {"straight", Type::factor, kShare},
    {"source", Type::text},
    {"caption", Type::text},
};

const std::vector<Key> modifier = {
    {"shape", Type::word, {}, "bowl|box|dish|snoot|umbrella", "", Need::required},
    {"profile", Type::points, atLeast(0), "cm"},
    {"curve", Type::word, {}, "paraboloid"},
    {"mouth", Type::number, kSize, "cm"},
    {"depth", Type::number, kSize, "cm"},
    {"inside", Type::text},
    {"lamp_at", Type::number, atLeast(0), "cm"},
    {"opening", Type::pair, kSize, "cm"},
    {"outline", Type::word, {}, "rectangle|octagon|round"},
    {"baffle", Type::text},
    {"baffle_at", Type::number, kSize, "cm"},
    {"front", Type::text},
    {"deflector", Type::table, {}, "deflector"},
    {"use", Type::word, {}, "reflect|through"},
    {"bowl", Type::table, {}, "head_bowl"},
    {"grid", Type::table, {}, "grid"},
    {"barn_doors", Type::numbers, between(0, 180), "degrees"},
    {"source", Type::text},
    {"caption", Type::text},
};

const std::vector<Key> gel = {
    {"mired_shift", Type::number, between(-500, 500), "mired"},
    {"green", Type::number, between(-200, 200), "hundredths of density"},
    {"stops", Type::number, between(0, 30), "stops"},
    {"transmittance", Type::factor, kShare},
    {"designed_for", Type::number, kKelvin, "K", "5500"},
    {"source", Type::text},
    {"caption", Type::text},
};

const std::vector<Key> deflector = {
    {"diameter", Type::number, kSize, "cm", "", Need::required},
    {"distance", Type::number, kSize, "cm", "", Need::required},
    {"material", Type::text},
};

const std::vector<Key> headBowl = {
    {"diameter", Type::number, kSize, "cm", "", Need::required},
    {"depth", Type::number, kSize, "cm", "", Need::required},
    {"material", Type::text},
};

const std::vector<Key> grid = {
    {"cell", Type::number, kSize, "cm", "", Need::required},
    {"depth", Type::number, kSize, "cm", "", Need::required},
};

const std::vector<Key> material = {
    {"base", Type::word, {}, "diffuse|plastic|metal|glass|sheet", "\"diffuse\""},
    {"reflectance", Type::factor, kShare},
    {"colour", Type::colour, kShare},
    {"roughness", Type::number, kShare, "", "0"},
    {"anisotropy", Type::number, kShare, "", "0"},
    {"metal", Type::text},
    {"ior", Type::number, between(1, 4), "", "1.5"},
    {"absorption", Type::absorption, atLeast(0), "1/cm"},
    {"tint", Type::colour, Range{0.0, 1.0, false}},
    {"tint_depth", Type::number, kSize, "cm"},
    {"priority", Type::integer, between(0, 1000), "", "2"},
    {"transmittance", Type::factor, kShare},
    {"straight", Type::factor, kShare},
    {"source", Type::text},
    {"caption", Type::text},
};

}  // namespace keyfall::schema
