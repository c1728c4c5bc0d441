// A receptor that draws to the cards it faces (facing_cards.h) reads the same light as one that finds them by
// chance, with less noise. Not here: what a card lifts (tests/laws).
#include <catch2/catch.hpp>

#include "dressed.h"
#include "one_path.h"
#include "set.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

/// The receptor's reading, 16 scramblings of `paths`; `cards`: what it draws to.
Scattered readAt(const Stage& stage, Receptor receptor, const FacingCards* cards, std::uint32_t paths,
                 std::uint32_t seed) {
    const LayerTable layers = layerTable(stage.scene());
    receptor.cards = cards;
    return overPaths(paths, seed, [&](PathSampler& sampler, OnePath& sink, PathCounters& counters) {
        const glm::vec2 u = sampler.next2D();
        Path<PathSampler, OnePath>(stage, layers, sampler, sink, counters).fromReceptor(receptor, u);
    });
}

Item& board(Set& set, glm::vec3 centre_m, glm::vec3 normal, glm::vec2 size_m, std::size_t material) {
    Item& card = set.item(sheet(centre_m, normal, size_m), material, ItemKind::board);
    card.at_m = centre_m;
    card.frame = frameAround(glm::normalize(normal));
    card.size_m = size_m;
    return card;
}

/// A receptor at the origin that looks up at cards, a lamp beside it; a matt floor, and a wall behind it all.
struct Corner {
    Set set;
    Corner() {
        set.light(sphereLamp({0.5F, 0.3F, 0.1F}, 0.05F), 1000.0);
        set.item(sheet({0.0F, -0.1F, 0.0F}, {0, 1, 0}, {2.0F, 2.0F}), set.matt(0.4F));
        set.item(sheet({0.0F, 0.5F, -1.0F}, {0, 0, 1}, {2.0F, 2.0F}), set.matt(0.7F));
    }
};

void checkEqual(const Traced& a, const Traced& b) {
    INFO(a.value << " +- " << a.standardError << " against " << b.value << " +- " << b.standardError);
    CHECK(a.value > 0.0);
    CHECK(a.standardError < 0.01 * a.value);
    CHECK(std::abs(a.value - b.value) < 4.5 * std::hypot(a.standardError, b.standardError));
}

Receptor upward(bool dome = false) {
    Receptor r;
    r.axis = glm::normalize(glm::vec3(-0.2F, 1.0F, 0.1F));
    r.dome = dome;
    return r;
}

}  // namespace

TEST_CASE("a receptor that draws to its cards reads what chance alone finds", "[receptor][cards][long]") {
    // Derived: paths are told apart by their first surface, and each kind is found by one density.
    const bool dome = GENERATE(false, true);
    const int kind = GENERATE(0, 1, 2, 3, 4, 5);
    CAPTURE(dome, kind);
    Corner room;
    Set& set = room.set;
    board(set, {-0.3F, 0.2F, 0.0F}, {1, -0.3F, 0}, {0.3F, 0.4F}, set.matt(0.85F));
    if (kind == 1) {  // one card half behind the other, and one that reaches below the horizon
        board(set, {-0.2F, 0.15F, 0.05F}, {1, -0.2F, 0}, {0.2F, 0.2F}, set.matt(0.3F));
        board(set, {0.0F, 0.0F, -0.3F}, {0, 0, 1}, {0.4F, 0.3F}, set.matt(0.6F));
    }
    if (kind == 2) board(set, {0.0F, 0.3F, -0.2F}, {0.3F, -1, 0.4F}, {0.3F, 0.3F}, set.material(metalOf(0.9F, 0.0F)));
    if (kind == 3) board(set, {0.0F, 0.3F, -0.2F}, {0.3F, -1, 0.4F}, {0.3F, 0.3F}, set.material(metalOf(0.9F, 0.5F)));
    if (kind == 4) set.item(sheet({-0.1F, 0.15F, 0.0F}, {1, -0.3F, 0}, {0.1F, 0.1F}), set.matt(0.1F));  // in the way
    if (kind == 5) board(set, {0.0F, 0.3F, -0.2F}, {0.3F, -1, 0.4F}, {0.3F, 0.3F}, set.material(metalOf(0.9F, 0.6F)));
    const Stage stage(set.scene, 2);
    const Receptor receptor = upward(dome);
    const FacingCards cards(stage, receptor.point_m, receptor.axis, dome);
    REQUIRE(cards.share() > 0.1F);
    checkEqual(readAt(stage, receptor, &cards, 8192, 3U).mean, readAt(stage, receptor, nullptr, 16384, 4U).mean);
}

TEST_CASE("a silver card drawn as a matt one shows what its own lobe finds", "[receptor][cards]") {
    // The lamp fills a third of what the card sees, in the middle of its lobe and out of the receptor's sight:
    // sampling it and drawing to it share its light, by the density of the draws that are made (matt_draw.h).
    Set set;
    set.light(sphereLamp({0.0F, -1.0F, 0.0F}, 1.8F), 1000.0);  // diameter
    board(set, {0.0F, 0.3F, 0.0F}, {0, -1, 0}, {0.3F, 0.3F}, set.material(metalOf(0.9F, 0.6F)));
    const Stage stage(set.scene, 2);
    Receptor receptor = upward();
    receptor.axis = {0, 1, 0};
    const FacingCards cards(stage, receptor.point_m, receptor.axis, false);
    checkEqual(readAt(stage, receptor, &cards, 2048, 3U).mean, readAt(stage, receptor, nullptr, 4096, 4U).mean);
}

TEST_CASE("a card behind a lamp in a box is read alike by both draws", "[receptor][cards][long]") {
    // The mouth stands between receptor and card for some draws: its light is counted once.
    Dressed d;
    d.wear(box("full"), sphereLamp({}, 0.03F), {0.1F, 0.25F, 0.0F}, {-0.4F, -1.0F, 0.0F});
    BakeSettings coarse;
    coarse.photons = 1U << 14U;
    coarse.directions = 8;
    d.bakeLast(coarse);
    board(d.set, {0.1F, 0.7F, 0.0F}, {0, -1, 0}, {0.9F, 0.9F}, d.set.matt(0.85F));
    board(d.set, {-0.4F, 0.3F, 0.0F}, {1, 0, 0}, {0.5F, 0.5F}, d.set.matt(0.85F));
    const Stage stage(d.set.scene, 2, d.tables);
    const Receptor receptor = upward();
    const FacingCards cards(stage, receptor.point_m, receptor.axis, false);
    checkEqual(readAt(stage, receptor, &cards, 8192, 3U).mean, readAt(stage, receptor, nullptr, 32768, 4U).mean);
}

TEST_CASE("draws to cards have the density that they say", "[receptor][cards]") {
    // Derived: the solid angle of what is drawn is the mean of 1 / density. A rectangle a x b at h straight
    // above a corner: atan(a b / (h sqrt(a^2 + b^2 + h^2))), four of them about the centre (van Oosterom 1983).
    Corner room;
    board(room.set, {0.0F, 0.25F, 0.0F}, {0, -1, 0}, {0.3F, 0.4F}, room.set.matt(0.85F));
    const Stage stage(room.set.scene, 2);
    const FacingCards cards(stage, {}, {0, 1, 0}, true);
    const double a = 0.15, b = 0.2, h = 0.25;
    const double expected_sr = 4.0 * std::atan(a * b / (h * std::sqrt(a * a + b * b + h * h)));
    double sum_sr = 0.0;
    constexpr std::uint32_t kDraws = 1U << 14U;
    for (std::uint32_t i = 0; i < kDraws; ++i) {
        PathSampler sampler(1U, 0U, i);
        const auto draw = cards.sample({}, glm::vec3(0.0F), sampler.next2D());
        REQUIRE(draw);
        sum_sr += 1.0 / static_cast<double>(draw->pdf_perSr) / kDraws;
    }
    CHECK(sum_sr == Approx(expected_sr).epsilon(1e-3));
}

TEST_CASE("a card that fills a third of the view is read with less noise", "[receptor][cards]") {
    Corner room;
    board(room.set, {-0.25F, 0.2F, 0.0F}, {1, -0.6F, 0}, {0.3F, 0.4F}, room.set.matt(0.85F));
    const Stage stage(room.set.scene, 2);
    const Receptor receptor = upward();
    const FacingCards cards(stage, receptor.point_m, receptor.axis, false);
    const Scattered with = readAt(stage, receptor, &cards, 2048, 3U), without = readAt(stage, receptor, nullptr, 2048, 3U);
    INFO(with.variance << " against " << without.variance);
    CHECK(with.variance < 0.8 * without.variance);
}
