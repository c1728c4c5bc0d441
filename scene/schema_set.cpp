// The schema's tables for what stands on the set: one row a key. Data only; see schema.h for the
// columns. Ranges are wide on purpose: they catch slips of units, not taste.
#include "scene/schema_tables.h"

namespace keyfall::schema {

namespace {
constexpr Range kAngle = between(-360.0, 360.0);
}  // namespace

const std::vector<Key> top = {
    {"title", Type::text},
};

const std::vector<Key> camera = {
    {"at", Type::triple, kPlace, "cm"},
    {"around", Type::table, {}, "around"},
    {"look_at", Type::target, kPlace, "cm"},
    {"roll", Type::number, kAngle, "degrees", "0"},
    {"focal_length", Type::number, between(1, 5000), "mm", "85"},
    {"sensor", Type::pair, between(1, 1000), "mm", "[36, 24]"},
    {"shift", Type::pair, between(-1000, 1000), "mm", "[0, 0]"},
    {"aperture", Type::number, between(0.5, 512), "f-number", "11"},
    {"shutter", Type::time, between(1e-6, 86400), "s", "\"1/125\""},
    {"iso", Type::number, between(0.1, 1e7), "ISO", "100"},
    {"white_balance", Type::white, kKelvin, "K", "5500"},
    {"focus", Type::target, kPlace, "cm"},
    {"flash_sync", Type::time, between(1e-6, 3600), "s", "\"1/200\""},
    {"support", Type::word, {}, "tripod|hand", "\"tripod\""},
    {"pixels", Type::pair, between(1, 100000), "pixels"},
    {"full_well", Type::number, between(100, 1e7), "electrons"},
    {"read_noise", Type::number, between(0, 1000), "electrons"},
    {"quantum_efficiency", Type::number, between(0.01, 1)},
    {"base_iso", Type::number, between(1, 25600), "ISO"},
    {"circle_of_confusion", Type::number, between(1e-5, 10), "mm"},
    {"pupil_ratio", Type::number, between(0.05, 20), "", "1"},
    {"calibration", Type::number, between(-10, 10), "stops", "0"},
    {"close_up", Type::word, {}, "as-metered|compensated", "\"as-metered\""},
};

const std::vector<Key> picture = {
    {"width", Type::integer, between(1, 32768), "pixels", "960"},
    {"view", Type::word, {}, "straight|soft", "\"straight\""},
};

const std::vector<Key> table = {
    {"shape", Type::word, {}, "top|none", "\"top\""},
    {"size", Type::pair, kSize, "cm", "[120, 80]"},
    {"material", Type::text, {}, "", "\"slate\""},
    {"on", Type::flag, {}, "", "true"},
    {"caption", Type::text},
};

const std::vector<Key> backdrop = {
    {"shape", Type::word, {}, "wall|sweep|none", "\"wall\""},
    {"distance", Type::number, kSize, "cm", "60"},
    {"height", Type::number, kSize, "cm", "150"},
    {"width", Type::number, kSize, "cm", "200"},
    {"radius", Type::number, kSize, "cm", "25"},
    {"material", Type::text, {}, "", "\"paper-white\""},
    {"on", Type::flag, {}, "", "true"},
    {"caption", Type::text},
};

const std::vector<Key> room = {
    {"size", Type::pair, kSize, "cm", "[400, 400]"},
    {"height", Type::number, kSize, "cm", "260"},
    {"walls", Type::number, kShare, "reflectance", "0.5"},
    {"ceiling", Type::number, kShare, "reflectance", "0.8"},
    {"floor", Type::number, kShare, "reflectance", "0.2"},
    {"table_height", Type::number, between(0, kFarthest_cm), "cm", "75"},
    {"illuminance", Type::number, between(0, 1e7), "lx", "0"},
    {"colour_temperature", Type::number, kKelvin, "K", "4000"},
    {"on", Type::flag, {}, "", "true"},
    {"caption", Type::text},
};

const std::vector<Key> product = {
    {"name", Type::name},
    {"mesh", Type::text, {}, "", "", Need::required},
    {"height", Type::number, kSize, "cm"},
    {"unit", Type::word, {}, "mm|cm|m|in"},
    {"up", Type::word, {}, "y|z", "\"y\""},
    {"at", Type::place, kPlace, "cm"},
    {"centre", Type::word, {}, "footprint|origin", "\"footprint\""},
    {"stands_on", Type::name},
    {"turn", Type::number, kAngle, "degrees", "0"},
    {"tilt", Type::number, kAngle, "degrees", "0"},
    {"lean", Type::number, kAngle, "degrees", "0"},
    {"material", Type::text},
    {"materials", Type::names},
    {"smooth", Type::number, between(0, 180), "degrees", "40"},
    {"on", Type::flag, {}, "", "true"},
    {"caption", Type::text},
};

const std::vector<Key> block = {
    {"name", Type::name},
    {"shape", Type::word, {}, "box|cylinder|sphere|sheet", "\"box\""},
    {"size", Type::numbers, kSize, "cm", "", Need::required},
    {"at", Type::place, kPlace, "cm"},
    {"stands_on", Type::name},
    {"turn", Type::number, kAngle, "degrees", "0"},
    {"tilt", Type::number, kAngle, "degrees", "0"},
    {"lean", Type::number, kAngle, "degrees", "0"},
    {"material", Type::text, {}, "", "\"concrete\""},
    {"on", Type::flag, {}, "", "true"},
    {"caption", Type::text},
};

const std::vector<Key> light = {
    {"name", Type::name},
    {"kind", Type::word, {}, "flash|continuous"},
    {"lamp", Type::text},
    {"energy", Type::number, above(0), "W·s"},
    {"lumen_seconds", Type::number, above(0), "lm·s"},
    {"watts", Type::number, above(0), "W"},
    {"lumens", Type::number, above(0), "lm"},
    {"guide_number", Type::number, above(0), "m at ISO 100"},
    {"lux_at_1m", Type::number, above(0), "lx, or lx·s of a flash"},
    {"reads", Type::table, {}, "reads"},
    {"rated_with", Type::text},
    {"rated_power", Type::power, {}, "", "\"1/1\""},
    {"power", Type::power, {}, "", "\"1/1\""},
    {"modifier", Type::text, {}, "", "\"none\""},
    {"at", Type::triple, kPlace, "cm"},
    {"around", Type::table, {}, "around"},
    {"measured_to", Type::word, {}, "exit|lamp", "\"exit\""},
    {"aim", Type::aim, kPlace, "cm"},
    {"roll", Type::number, kAngle, "degrees", "0"},
    {"colour_temperature", Type::number, kKelvin, "K"},
    {"spectrum", Type::text},
    {"gel", Type::textOrTexts},
    {"photometry", Type::text},
    {"opening", Type::pair, kSize, "cm"},
    {"on", Type::flag, {}, "", "true"},
    {"caption", Type::text},
};

const std::vector<Key> around = {
    {"point", Type::target, kPlace, "cm"},
    {"angle", Type::number, kAngle, "degrees", "0"},
    {"elevation", Type::number, between(-90, 90), "degrees", "0"},
    {"distance", Type::number, kSize, "cm", "", Need::required},
};

const std::vector<Key> aim = {
    {"from", Type::target, kPlace, "cm", "", Need::required},
    {"to", Type::target, kPlace, "cm", "", Need::required},
};

const std::vector<Key> reads = {
    {"aperture", Type::aperture, between(0.5, 512), "f-number", "", Need::required},
    {"iso", Type::number, between(0.1, 1e7), "ISO", "100"},
    {"distance", Type::number, kSize, "cm", "100"},
    {"shutter", Type::time, between(1e-6, 86400), "s"},
};

const std::vector<Key> board = {
    {"name", Type::name},
    {"surface", Type::text, {}, "", "\"white-foam\""},
    {"size", Type::pair, kSize, "cm", "[30, 40]"},
    {"at", Type::triple, kPlace, "cm"},
    {"around", Type::table, {}, "around"},
    {"aim", Type::aim, kPlace, "cm"},
    {"roll", Type::number, kAngle, "degrees", "0"},
    {"on", Type::flag, {}, "", "true"},
    {"caption", Type::text},
};

const std::vector<Key> scrim = {
    {"name", Type::name},
    {"fabric", Type::text, {}, "", "\"full\""},
    {"size", Type::pair, kSize, "cm", "[60, 60]"},
    {"at", Type::triple, kPlace, "cm"},
    {"around", Type::table, {}, "around"},
    {"aim", Type::aim, kPlace, "cm"},
    {"roll", Type::number, kAngle, "degrees", "0"},
    {"on", Type::flag, {}, "", "true"},
    {"caption", Type::text},
};

const std::vector<Key> flag = {
    {"name", Type::name},
    {"size", Type::pair, kSize, "cm", "[20, 30]"},
    {"at", Type::triple, kPlace, "cm"},
    {"around", Type::table, {}, "around"},
    {"aim", Type::aim, kPlace, "cm"},
    {"roll", Type::number, kAngle, "degrees", "0"},
    {"on", Type::flag, {}, "", "true"},
    {"caption", Type::text},
};

const std::vector<Key> probe = {
    {"name", Type::name},
    {"at", Type::triple, kPlace, "cm", "", Need::required},
    {"facing", Type::target, kPlace, "cm", "\"camera\""},
    {"normal", Type::triple, between(-1e6, 1e6)},
    {"kind", Type::word, {}, "incident|dome|spot", "\"incident\""},
    {"receptor", Type::number, between(0, 100), "cm", "2"},
    {"spot_angle", Type::number, between(0.01, 90), "degrees", "1"},
    {"on_surface", Type::name},
    {"on", Type::flag, {}, "", "true"},
    {"caption", Type::text},
};

}  // namespace keyfall::schema
