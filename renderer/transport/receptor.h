// What a light meter's cell answers to. Not here: the readings made from it (renderer/meter).
#pragma once

#include <algorithm>
#include <glm/glm.hpp>

#include "renderer/optics/warp.h"
#include "renderer/transport/facing_cards.h"

namespace keyfall {

/// A flat receptor answers with cos(theta) over its half-space: illuminance E = int L cos dw. A
/// dome answers with (1+cos)/2 over the whole sphere, the response of a hemispherical diffuser
/// (README, "Numbers"). Both give E for a small lamp straight ahead.
struct Receptor {
    glm::vec3 point_m{0.0F};
    glm::vec3 axis{0, 0, 1};  ///< unit
    bool dome = false;
    const FacingCards* cards = nullptr;  ///< to draw to; none: by the response alone

    float response(float cosine) const {
        return dome ? 0.5F * (1.0F + cosine) : std::max(0.0F, cosine);
    }
    /// A first direction. Who owns the light that it brings: what comes from a faced card as the first
    /// surface is found by draws to that card alone, all else by draws from the response alone.
    struct Draw {
        glm::vec3 direction{0.0F};
        float pdf_perSr = 0.0F;
        const FacingCards* cards = nullptr;  ///< that the receptor draws to
        int card = kNoBoard;                 ///< of them the one that this was drawn to
        bool toCard() const { return card != kNoBoard; }
        /// Is `board`, or kNoBoard, as the first surface of this draw's?
        bool owns(int board) const { return toCard() ? board == card : cards == nullptr || !cards->has(board); }
    };
    /// `u` in [0, 1)^2. Density 0: a card seen edge-on, or a direction to which the receptor is blind.
    Draw draw(glm::vec2 u) const {
        const float toCards = cards != nullptr ? cards->share() : 0.0F;
        if (u.x < toCards) {
            const auto to = cards->sample(point_m, viewNormal(), {u.x / toCards, u.y});
            return to ? Draw{to->direction, toCards * to->pdf_perSr, cards, to->board} : Draw{};
        }
        u.x = std::min((u.x - toCards) / (1.0F - toCards), 0x1.fffffep-1F);
        const glm::vec3 direction = frameAround(axis).toWorld(dome ? sampleDome(u) : sampleCosineHemisphere(u));
        return {direction, pdf_perSr(glm::dot(axis, direction)), cards};
    }
    /// Density of the draws from the response: with them sampling a lamp shares its light.
    float pdf_perSr(float cosine) const {
        const float own_perSr = dome ? pdfDome_perSr(cosine) : pdfCosineHemisphere_perSr(cosine);
        return cards != nullptr ? (1.0F - cards->share()) * own_perSr : own_perSr;
    }
    /// What lamp sampling may bend its draw towards; none for a dome.
    glm::vec3 viewNormal() const { return dome ? glm::vec3(0.0F) : axis; }
};

}  // namespace keyfall
