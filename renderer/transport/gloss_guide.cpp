#include "renderer/transport/gloss_guide.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "renderer/optics/bsdf_base.h"
#include "renderer/optics/warp_trig.h"

namespace keyfall {
namespace {

// Odds of w per steradian of gloss. An opening of luminance L and solid angle W that the gloss mirrors by f
// gives the eye f L W, but one draw at most L W / kGain_sr: a thirtieth of the illuminance that it throws on
// the surface, which is less than what a matt body makes of it.
constexpr float kGain_sr = 30.0F;
constexpr float kMostShare = 0.5F;  // what else the surface shows has twice its variance at the worst

bool isDisc(const Exit& exit) { return exit.shape.kind == LampKind::disc; }

float area_m2(const LampShape& s) {
    return s.kind == LampKind::disc ? 0.25F * std::numbers::pi_v<float> * s.a_m * s.a_m : s.a_m * s.b_m;
}

/// The unit square to the face and back; areas keep their ratios. Discs: x is the radius squared.
glm::vec2 onFace_m(const LampShape& s, glm::vec2 unit) {
    if (s.kind != LampKind::disc) return (unit - 0.5F) * glm::vec2(s.a_m, s.b_m);
    return 0.5F * s.a_m * std::sqrt(unit.x) * cosSinTurns(unit.y);
}
glm::vec2 onUnit(const LampShape& s, glm::vec2 local_m) {
    if (s.kind != LampKind::disc) return local_m / glm::vec2(s.a_m, s.b_m) + 0.5F;
    const glm::dvec2 at(local_m);
    const double turns = angleOf(at.y, at.x) / (2.0 * kPi);
    return {4.0F * glm::dot(local_m, local_m) / (s.a_m * s.a_m), static_cast<float>(turns)};
}

/// Columns and rows that cut a face into `count` cells, 1, 4 or 16.
glm::ivec2 gridOf(const Exit& exit, std::size_t count) {
    const int side = count == 16 ? 4 : count == 4 ? 2 : 1;
    if (!isDisc(exit) || side == 1) return {side, side};
    return {side / 2, side * 2};
}

/// The place `u` of the unit square in one of `count` cells, in the world.
glm::vec3 pointOn_m(const Exit& exit, std::size_t count, std::size_t cell, glm::vec2 u) {
    const glm::ivec2 grid = gridOf(exit, count);
    const int i = static_cast<int>(cell);
    const glm::vec2 unit = (glm::vec2(i % grid.x, i / grid.x) + u) / glm::vec2(grid);
    const glm::vec2 local_m = onFace_m(exit.shape, glm::min(unit, glm::vec2(0x1.fffffep-1F)));
    return exit.shape.centre_m + exit.shape.frame.toWorld({local_m.x, local_m.y, 0.0F});
}

/// Where a direction goes through the plane of an exit from the set; empty: it does not.
struct Crossing {
    glm::vec2 unit{0.0F};
    float distance_m = 0.0F;
    float cosine = 0.0F;
};
std::optional<Crossing> crossing(const Exit& exit, glm::vec3 from_m, glm::vec3 direction) {
    constexpr float kRim = 1e-4F;  // a draw on the rim is a draw: rounding must not take its density away
    const Frame& f = exit.shape.frame;
    const float along = -glm::dot(direction, f.z);
    const float height_m = glm::dot(from_m - exit.shape.centre_m, f.z);
    if (along <= 0.0F || height_m <= 0.0F) return {};
    const float t_m = height_m / along;
    const glm::vec3 at = f.toLocal(from_m + t_m * direction - exit.shape.centre_m);
    const glm::vec2 unit = onUnit(exit.shape, {at.x, at.y});
    if (std::min(unit.x, unit.y) < -kRim || std::max(unit.x, unit.y) > 1.0F + kRim) return {};
    return Crossing{unit, t_m, along};
}

}  // namespace

/// A gloss as seen from one direction.
struct GlossGuide::Gloss {
    const Bsdf& bsdf;
    glm::vec3 wo;                ///< local
    glm::vec3 mirror;            ///< world: the middle of the lobe, nearly
    float middle_perSr = 0.0F;   ///< the lobe there
    float drawn = 0.0F;          ///< density of the surface's draws over the lobe, there

    float lobe_perSr(glm::vec3 wi) const { return mean(evaluateSplit(bsdf, wo, wi).specular); }
};

bool GlossGuide::serves(const Bsdf& bsdf) {
    if (!hasSmoothLobe(bsdf) || isWhollyRough(bsdf)) return false;
    const float roughness = bsdf.material->roughness;
    return bsdf.material->base != Base::sheet && roughness * roughness >= kSpecularAlpha;
}

void GlossGuide::aim(const Stage& stage, const Frame& shading, glm::vec3 from_m, const Bsdf& bsdf,
                     glm::vec3 wo) {
    stage_ = &stage;
    shading_ = shading;
    from_m_ = from_m;
    exits_ = std::min(stage.exits().size(), kMostCells);
    perExit_ = exits_ <= 4 ? 16U : exits_ <= kMostCells / 4 ? 4U : 1U;
    Gloss gloss{bsdf, wo, shading.toWorld(mirrored(wo))};
    gloss.middle_perSr = gloss.lobe_perSr(mirrored(wo));
    if (gloss.middle_perSr <= 0.0F) return;
    gloss.drawn = keyfall::pdf_perSr(bsdf, wo, mirrored(wo)) / gloss.middle_perSr;
    for (std::size_t first = 0, last = 0; first < exits_; first = last) {
        while (last < exits_ && stage.exits()[last].light == stage.exits()[first].light) ++last;
        aimAtLight(gloss, first, last);
    }
    // A lobe that an opening fills needs no help.
    const float missed = 1.0F - std::min(chance_, 1.0F);
    odds_ *= missed * missed;
    if (sum_ > 0.0F) share_ = std::min(kMostShare, odds_ / (1.0F + odds_));
}

/// The exits [first, last) of one light: all lights alike, whatever their flux.
void GlossGuide::aimAtLight(const Gloss& gloss, std::size_t first, std::size_t last) {
    float seen = 0.0F, sum = 0.0F;
    const std::size_t lamps = stage_->emitters().size();
    for (std::size_t e = first; e < last; ++e) {
        const float luminance = stage_->sources()[lamps + e].share / area_m2(stage_->exits()[e].shape);
        seen += weigh(gloss, e, luminance);
    }
    for (std::size_t i = first * perExit_; i < last * perExit_; ++i) {
        if (seen > 0.0F) weight_[i] /= seen;
        sum += weight_[i];
    }
    sum_ += sum;
    odds_ += kGain_sr * sum;
}

/// Weights of an exit's cells: what of its light the gloss shows. Gives solid angle times luminance.
float GlossGuide::weigh(const Gloss& gloss, std::size_t index, float luminance) {
    const Exit& exit = stage_->exits()[index];
    const auto middle = crossing(exit, from_m_, gloss.mirror);
    const std::size_t inMiddle = middle ? cellAt(exit, middle->unit) : perExit_;
    float arriving = luminance;
    for (const Scrim& scrim : stage_->scrims())
        if (scrim.isBetween(from_m_, exit.shape.centre_m)) arriving *= scrim.straight;
    float seen = 0.0F;
    for (std::size_t i = 0; i < perExit_; ++i) {
        const glm::vec3 way_m = pointOn_m(exit, perExit_, i, glm::vec2(0.5F)) - from_m_;
        const float d2 = std::max(glm::dot(way_m, way_m), 1e-12F);
        const glm::vec3 direction = way_m / std::sqrt(d2);
        const float cell_m2 = area_m2(exit.shape) / static_cast<float>(perExit_);
        const float cosine = std::max(0.0F, -glm::dot(direction, exit.shape.frame.z));
        const float cell_sr = cosine * cell_m2 / (d2 + cell_m2);
        seen += luminance * cell_sr;
        float lobe_perSr = cell_sr > 0.0F ? gloss.lobe_perSr(shading_.toLocal(direction)) : 0.0F;
        if (i == inMiddle) lobe_perSr = std::max(lobe_perSr, gloss.middle_perSr);
        // Where the surface's own draws are dense enough, as in the middle of a lobe narrower than the cell.
        const float chance = std::min(1.0F, lobe_perSr * gloss.drawn * cell_sr);
        chance_ += chance;
        weight_[index * perExit_ + i] = arriving * cell_sr * lobe_perSr * (1.0F - chance) * (1.0F - chance);
    }
    return seen;
}

std::size_t GlossGuide::cellAt(const Exit& exit, glm::vec2 unit) const {
    const glm::ivec2 grid = gridOf(exit, perExit_);
    const glm::ivec2 at = glm::clamp(glm::ivec2(unit * glm::vec2(grid)), glm::ivec2(0), grid - 1);
    return static_cast<std::size_t>(at.y * grid.x + at.x);
}

GlossGuide::Drawn GlossGuide::sample(const Bsdf& bsdf, glm::vec3 wo, float choice, glm::vec2 u) const {
    const float rest = 1.0F - share_;
    Drawn d;
    d.sample = choice < share_
                   ? sampleOpening(bsdf, wo, choice / share_, u)
                   : keyfall::sample(bsdf, wo, std::min((choice - share_) / rest, 0x1.fffffep-1F), u);
    BsdfSample& b = d.sample;
    if (b.lobe == Lobe::none) return d;
    const bool isDelta = b.lobe == Lobe::specular || b.lobe == Lobe::straight;
    const float mixed = isDelta ? rest * b.pdf_perSr : mixed_perSr(shading_.toWorld(b.wi), b.pdf_perSr);
    d.thinner = b.pdf_perSr / mixed;
    b.weight *= d.thinner;
    b.pdf_perSr = mixed;
    return d;
}

/// To an opening, as if the surface had drawn it. Of which lobe it is: by what each sends this way.
BsdfSample GlossGuide::sampleOpening(const Bsdf& bsdf, glm::vec3 wo, float choice, glm::vec2 u) const {
    BsdfSample b;
    b.wi = shading_.toLocal(draw(choice, u));
    const SplitValue f = evaluateSplit(bsdf, wo, b.wi);
    const float all = mean(f.diffuse) + mean(f.specular);
    b.pdf_perSr = keyfall::pdf_perSr(bsdf, wo, b.wi);
    if (all <= 0.0F || b.pdf_perSr <= 0.0F) return b;
    b.lobe = choice * all < mean(f.specular) ? Lobe::glossy : Lobe::diffuse;
    b.weight = (f.diffuse + f.specular) * (1.0F / b.pdf_perSr);
    b.transmitted = b.wi.z * wo.z < 0.0F;
    return b;
}

/// A unit direction to an opening. `choice` picks the cell, and comes back as an even number again.
glm::vec3 GlossGuide::draw(float& choice, glm::vec2 u) const {
    float left = choice * sum_;
    std::size_t taken = 0;
    for (std::size_t i = 0; i < exits_ * perExit_; ++i) {
        if (weight_[i] <= 0.0F) continue;
        taken = i;  // rounding may leave a rest behind the last one: it gets it
        if (left < weight_[i]) break;
        left -= weight_[i];
    }
    choice = std::clamp(left / weight_[taken], 0.0F, 0x1.fffffep-1F);
    const Exit& exit = exitOf(taken);
    return glm::normalize(pointOn_m(exit, perExit_, taken % perExit_, u) - from_m_);
}

/// One direction may cross several exits, of a box of fabric or of two lights in a row.
float GlossGuide::pdf_perSr(glm::vec3 direction) const {
    float pdf = 0.0F;
    for (std::size_t e = 0; e < exits_; ++e) {
        const Exit& exit = stage_->exits()[e];
        const auto at = crossing(exit, from_m_, direction);
        if (!at) continue;
        const float chosen = weight_[e * perExit_ + cellAt(exit, at->unit)] / sum_;
        const float perM2 = chosen * static_cast<float>(perExit_) / area_m2(exit.shape);
        pdf += perM2 * at->distance_m * at->distance_m / at->cosine;
    }
    return pdf;
}

}  // namespace keyfall
