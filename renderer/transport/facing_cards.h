// The cards that a meter's receptor faces, and directions drawn to them. Not here: the response and who owns
// which path (receptor.h); vertices of a path, to which cards are found by chance.
//
// A card that fills the share p of a receptor's response is met by p of the draws from it: a matter of the
// card's outline, of variance p (1 - p). Moved by a few centimetres it is met by other draws, and two readings
// under the same random numbers share little of their noise. Draws to places ON the card move with it, and what
// they find is nearly even.
#pragma once

#include <cstdint>
#include <glm/glm.hpp>
#include <optional>
#include <vector>

#include "renderer/optics/lamp.h"
#include "renderer/stage/stage.h"

namespace keyfall {

class FacingCards {
  public:
    /// Boards of an opaque surface that is no flat mirror and of which a corner lies before the plane through
    /// `at_m` across `axis`; for a dome all around. Never by power or reflectance: a set with other lamps or
    /// another paper makes the same draws. Sheets and mirrors stay out: lamps are sampled through them.
    FacingCards(const Stage& stage, glm::vec3 at_m, glm::vec3 axis, bool dome);

    /// Share of a receptor's draws that go to cards; 0 where none is faced.
    float share() const { return share_; }
    /// Whether `board` (SurfacePoint::board) is one of them.
    bool has(int board) const { return board >= 0 && (boards_ >> board & 1U) != 0; }

    struct Draw {
        int board = kNoBoard;
        glm::vec3 direction{0.0F};
        float pdf_perSr = 0.0F;  ///< of this card among all and of the direction to it
    };
    /// From a receptor at `from_m` with this normal (0: a dome). `u` in [0, 1)^2. Call with a share above 0.
    /// Empty: seen edge-on.
    std::optional<Draw> sample(glm::vec3 from_m, glm::vec3 normal, glm::vec2 u) const;

  private:
    struct Card {
        int board;
        LampShape face;  ///< as a panel: its solid angle is drawn from as that of a lamp
        float below;     ///< chance of the cards before it
        float chance;    ///< of this one among all
    };
    std::vector<Card> cards_;
    std::uint64_t boards_ = 0;
    float share_ = 0.0F;
};

}  // namespace keyfall
