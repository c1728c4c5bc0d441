// Directions that a narrow gloss draws towards the openings of modifiers, beside those of its own lobe.
// Not here: what the ray finds inside (path.h), whose light that is (DEVELOPERS, "Who owns a path").
//
// In a gloss the real inside is seen, and only a drawn ray can find it. A bowl's mouth is a few hundred
// times as bright as the matt body beside its reflection: met once in a thousand draws by the far slope of
// the lobe, it leaves a white speck. So a share w of the draws goes to the openings, and all of them have
// the density of the mixture, w p_openings + (1 - w) p_surface (one-sample combination, Veach & Guibas 1995).
#pragma once

#include <array>
#include <cstdint>
#include <glm/glm.hpp>

#include "renderer/optics/bsdf.h"
#include "renderer/stage/stage.h"

namespace keyfall {

class GlossGuide {
  public:
    /// True for facets that are no mirror, but under a narrow lobe: alpha in [kSpecularAlpha, kRoughAlpha).
    static bool serves(const Bsdf& bsdf);

    /// Sets the share and where in the openings it goes, from what stands where and from the gloss alone: no
    /// random number, no power. `shading`: the surface's frame; `wo`: local; `from_m`: where rays start.
    void aim(const Stage& stage, const Frame& shading, glm::vec3 from_m, const Bsdf& bsdf, glm::vec3 wo);

    /// Share of the draws that go to openings; 0 before aim(), and where no gloss reaches one.
    float share() const { return share_; }

    /// A draw of the mixture.
    struct Drawn {
        BsdfSample sample;     ///< its density and weight are the mixture's
        float thinner = 1.0F;  ///< density of the surface's own draws there over the mixture's
    };
    /// As sample() of bsdf.h, of the surface and `wo` that were told to aim(). Call with a share above 0.
    Drawn sample(const Bsdf& bsdf, glm::vec3 wo, float choice, glm::vec2 u) const;

    /// Density of all draws at this unit direction, where the surface alone has `surface_perSr`.
    float mixed_perSr(glm::vec3 direction, float surface_perSr) const {
        if (share_ <= 0.0F) return surface_perSr;
        return share_ * pdf_perSr(direction) + (1.0F - share_) * surface_perSr;
    }

  private:
    /// Openings are cut into cells of equal area: 16, or fewer where they are many.
    static constexpr std::size_t kMostCells = 6 * kMostLights;

    struct Gloss;
    void aimAtLight(const Gloss& gloss, std::size_t first, std::size_t last);
    float weigh(const Gloss& gloss, std::size_t exit, float luminance);
    BsdfSample sampleOpening(const Bsdf& bsdf, glm::vec3 wo, float choice, glm::vec2 u) const;
    glm::vec3 draw(float& choice, glm::vec2 u) const;
    float pdf_perSr(glm::vec3 direction) const;
    const Exit& exitOf(std::size_t cell) const { return stage_->exits()[cell / perExit_]; }
    std::size_t cellAt(const Exit& exit, glm::vec2 unit) const;

    const Stage* stage_ = nullptr;
    Frame shading_;
    glm::vec3 from_m_{0.0F};
    float share_ = 0.0F;
    float sum_ = 0.0F;     ///< of weight_
    float odds_ = 0.0F;    ///< of a draw to an opening against one by the surface
    float chance_ = 0.0F;  ///< that a draw by the surface meets an opening anyway
    std::size_t exits_ = 0;
    std::size_t perExit_ = 1;
    std::array<float, kMostCells> weight_;  // of [0, exits_ * perExit_)
};

}  // namespace keyfall
