#include "renderer/transport/facing_cards.h"

#include <algorithm>
#include <numbers>

namespace keyfall {
namespace {

constexpr float kMostToCards = 0.5F;  // all else that the receptor sees has twice its variance at the worst
constexpr float kHalfAt = 0.05F;  // cards that fill this share of the half-space get half of that

bool isServed(const Stage& stage, std::size_t index) {
    const Item& card = stage.scene().items[index];
    const Base base = stage.scene().materials[card.materials[0]].base;
    const bool isMirror = std::any_of(stage.mirrors().begin(), stage.mirrors().end(),
                                      [&](const FlatMirror& m) { return m.item == index; });
    return base != Base::sheet && base != Base::glass && !isMirror && card.size_m.x * card.size_m.y > 0.0F;
}

bool isBefore(const Item& card, glm::vec3 at_m, glm::vec3 axis) {
    for (const float x : {-0.5F, 0.5F})
        for (const float y : {-0.5F, 0.5F}) {
            const glm::vec2 corner_m = glm::vec2(x, y) * card.size_m;
            const glm::vec3 way_m = card.at_m + card.frame.toWorld({corner_m.x, corner_m.y, 0.0F}) - at_m;
            if (glm::dot(way_m, axis) > 0.0F) return true;
        }
    return false;
}

/// About the share of a half-space that it fills, seen straight on; smooth in its place, never 0.
float fills(const Item& card, glm::vec3 at_m) {
    const float area_m2 = card.size_m.x * card.size_m.y;
    const glm::vec3 way_m = card.at_m - at_m;
    return area_m2 / (2.0F * std::numbers::pi_v<float> * glm::dot(way_m, way_m) + area_m2);
}

}  // namespace

FacingCards::FacingCards(const Stage& stage, glm::vec3 at_m, glm::vec3 axis, bool dome) {
    float sum = 0.0F;
    for (std::size_t b = 0; b < stage.boardCount(); ++b) {
        const Item& card = stage.scene().items[stage.boards()[b]];
        if (!isServed(stage, stage.boards()[b]) || (!dome && !isBefore(card, at_m, axis))) continue;
        const float share = fills(card, at_m);
        cards_.push_back({static_cast<int>(b), faceOf(card), sum, share});
        boards_ |= 1ULL << b;
        sum += share;
    }
    for (Card& card : cards_) {
        card.below /= sum;
        card.chance /= sum;
    }
    share_ = kMostToCards * sum / (sum + kHalfAt);
}

std::optional<FacingCards::Draw> FacingCards::sample(glm::vec3 from_m, glm::vec3 normal, glm::vec2 u) const {
    const Card* card = &cards_.front();
    for (const Card& c : cards_)
        if (u.x >= c.below) card = &c;
    u.x = std::clamp((u.x - card->below) / card->chance, 0.0F, 0x1.fffffep-1F);
    const auto place = sampleLamp(viewLamp(card->face, from_m, normal), u);
    if (!place) return {};
    return Draw{card->board, place->toLight, card->chance * place->pdf_perSr};
}

}  // namespace keyfall
