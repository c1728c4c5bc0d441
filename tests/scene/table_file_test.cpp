// Tables kept as bytes: back as they were, and nothing at all from a file that is not whole.
#include "scene/table_file.h"

#include <catch2/catch.hpp>
#include <cstring>
#include <limits>

using namespace keyfall;

namespace {

/// A disc of 2 rings x 2 x 2 directions and a panel of one cell, no two values alike.
NearFieldTable smallTable() {
    NearFieldTable table;
    TableFace disc;
    disc.exit.shape.kind = LampKind::disc;
    disc.exit.shape.a_m = 0.18F;
    disc.exit.shape.centre_m = {0.01F, -0.02F, 0.0F};
    disc.along = 2;
    disc.directions = 2;
    disc.luminance.resize(disc.cellCount() * kBands);
    TableFace panel;
    panel.exit.shape.kind = LampKind::panel;
    panel.exit.shape.a_m = 0.6F;
    panel.exit.shape.b_m = 0.4F;
    panel.exit.sides = 8;
    panel.folded = true;
    panel.luminance.resize(panel.cellCount() * kBands);
    float next = 0.5F;
    for (TableFace* face : {&disc, &panel})
        for (float& x : face->luminance) x = next += 0.25F;
    table.faces = {disc, panel};
    for (const TableFace& face : table.faces) table.scattered += fluxOf(face);
    table.straight = Bands(0.25F);
    table.absorbed = Bands(0.125F);
    table.photons = 4096;
    return table;
}

const ContentKey kKey = keyOf("what it was made from");

bool same(const Bands& a, const Bands& b) { return std::equal(a.v, a.v + kBands, b.v); }

/// `value` at the first luminance of the last face, with a checksum that fits: a file that was written
/// so, not one that was damaged.
TableFromBytes withLastValue(float value) {
    NearFieldTable table = smallTable();
    table.faces[1].luminance.back() = value;
    return tableFromBytes(tableBytes(table, kKey), kKey);
}

}  // namespace

TEST_CASE("table file: what was written comes back", "[table-file]") {
    const NearFieldTable before = smallTable();
    const TableFromBytes read = tableFromBytes(tableBytes(before, kKey), kKey);
    REQUIRE(read.table);
    const NearFieldTable& after = *read.table;
    CHECK(after.photons == 4096);
    CHECK(same(after.scattered, before.scattered));
    CHECK(same(after.straight, before.straight));
    CHECK(same(after.absorbed, before.absorbed));
    REQUIRE(after.faces.size() == 2);
    for (std::size_t f = 0; f < 2; ++f) {
        CHECK(after.faces[f].luminance == before.faces[f].luminance);
        CHECK(after.faces[f].exit.shape.kind == before.faces[f].exit.shape.kind);
        CHECK(after.faces[f].exit.shape.centre_m == before.faces[f].exit.shape.centre_m);
        CHECK(after.faces[f].along == before.faces[f].along);
    }
    CHECK(after.faces[1].exit.sides == 8);
    CHECK(after.faces[1].exit.shape.b_m == 0.4F);
    CHECK(after.faces[1].folded);
    CHECK(tableBytes(after, kKey) == tableBytes(before, kKey));
}

TEST_CASE("table file: one cut short at any byte is none", "[table-file]") {
    const std::string whole = tableBytes(smallTable(), kKey);
    int read = 0;
    for (std::size_t length = 0; length < whole.size(); ++length) {
        const TableFromBytes part = tableFromBytes(std::string_view(whole).substr(0, length), kKey);
        read += part.table || part.reason.empty() ? 1 : 0;
    }
    CHECK(read == 0);
    CHECK_FALSE(tableFromBytes(whole + '\0', kKey).table);
}

TEST_CASE("table file: one with any bit turned is none", "[table-file]") {
    std::string bytes = tableBytes(smallTable(), kKey);
    int read = 0;
    for (std::size_t bit = 0; bit < 8 * bytes.size(); ++bit) {
        const auto mask = static_cast<char>(1U << (bit % 8));
        bytes[bit / 8] = static_cast<char>(bytes[bit / 8] ^ mask);
        read += tableFromBytes(bytes, kKey).table ? 1 : 0;
        bytes[bit / 8] = static_cast<char>(bytes[bit / 8] ^ mask);
    }
    CHECK(read == 0);
    CHECK(tableFromBytes(bytes, kKey).table);
}

TEST_CASE("table file: of something else, or no table at all", "[table-file]") {
    CHECK(tableFromBytes(tableBytes(smallTable(), kKey), keyOf("another lamp")).reason == "it was made from something else");
    CHECK(tableFromBytes("", kKey).reason == "it is no table");
    CHECK(tableFromBytes("PNG, or what a person may have put here, long enough for a head", kKey).reason == "it is no table");
}

TEST_CASE("table file: a right checksum over wrong figures is not enough", "[table-file]") {
    CHECK(withLastValue(smallTable().faces[1].luminance.back()).table);
    CHECK(withLastValue(-1.0F).reason == "a figure is negative");
    CHECK(withLastValue(std::numeric_limits<float>::quiet_NaN()).reason == "a figure is not finite");
    CHECK(withLastValue(std::numeric_limits<float>::infinity()).reason == "a figure is not finite");
    CHECK(withLastValue(20.0F).reason == "its faces do not add up to its flux");

    NearFieldTable more = smallTable();
    more.faces[0].along = 3;
    CHECK(tableFromBytes(tableBytes(more, kKey), kKey).reason == "a face has another number of cells than it says");
    more = smallTable();
    more.faces[0].directions = 1 << 20;
    CHECK(tableFromBytes(tableBytes(more, kKey), kKey).reason == "a number of cells is out of range");
    more = smallTable();
    more.faces[0].exit.shape.kind = LampKind::ring;
    CHECK(tableFromBytes(tableBytes(more, kKey), kKey).reason == "a face is neither a disc nor a panel");
}

TEST_CASE("content key: known answers, order and kinds count", "[table-file]") {
    // XXH3-128 of nothing, seed 0: the algorithm's own published self-test value.
    CHECK(hexOf(keyOf("")) == "99aa06d3014798d86001c324468d497f");
    CHECK(ContentHash().add(1).add(2).key() != ContentHash().add(2).add(1).key());
    CHECK(ContentHash().add(std::string_view("ab")).add(std::string_view("c")).key() !=
          ContentHash().add(std::string_view("a")).add(std::string_view("bc")).key());
    CHECK(ContentHash().add(0.0F).key() == ContentHash().add(-0.0F).key());
}
