#include "renderer/transport/bake_cells.h"

#include <algorithm>
#include <cmath>

namespace keyfall {
namespace {

/// Whether the mirror images of the body in x and in y map the face onto itself, with its own axes
/// along those of the body.
bool isMirrored(const ModifierBody& body, const LampShape& face) {
    constexpr float kNear = 1e-5F;
    const auto along = [](glm::vec3 axis, glm::vec3 wanted) {
        return std::abs(std::abs(glm::dot(axis, wanted)) - 1.0F) < kNear;
    };
    return body.symmetry != Symmetry::none && glm::length(glm::vec2(face.centre_m)) < kNear &&
           along(face.frame.z, {0, 0, 1}) &&
           (along(face.frame.x, {1, 0, 0}) || along(face.frame.x, {0, 1, 0}));
}

/// The cell one step nearer to the middle of the face or of the directions; the same where there is none.
int inward(int i, int count, bool fromMiddle) {
    if (fromMiddle) return std::max(0, i - 1);
    return 2 * i + 1 < count ? i + 1 : 2 * i + 1 > count ? i - 1 : i;
}

class Slivers {
  public:
    Slivers(const TableFace& face, const std::vector<double>& measure) : face_(face), measure_(measure) {
        least_ = 1e-4 * *std::max_element(measure.begin(), measure.end());
    }
    bool is(std::size_t cell) const { return measure_[cell] < least_; }

    /// Directions first, then positions.
    std::size_t neighbour(std::size_t cell) const {
        const int n = face_.directions;
        const auto c = static_cast<int>(cell);
        int v = c % n, u = c / n % n, j = c / (n * n) % face_.across, i = c / (n * n) / face_.across;
        const bool disc = face_.exit.shape.kind == LampKind::disc;
        for (int step = 0; step < 2 * n && is(index(i, j, u, v)); ++step) {
            const bool alongU = std::abs(2 * u + 1 - n) >= std::abs(2 * v + 1 - n);
            (alongU ? u : v) = inward(alongU ? u : v, n, false);
        }
        for (int step = 0; step < face_.along + face_.across && is(index(i, j, u, v)); ++step) {
            i = inward(i, face_.along, disc || face_.folded);
            if (!disc) j = inward(j, face_.across, face_.folded);
        }
        return index(i, j, u, v);
    }

  private:
    std::size_t index(int i, int j, int u, int v) const {
        const int n = face_.directions;
        return static_cast<std::size_t>(((i * face_.across + j) * n + u) * n + v);
    }

    const TableFace& face_;
    const std::vector<double>& measure_;
    double least_;
};

}  // namespace

std::vector<TableFace> tableFacesOf(const ModifierBody& body, const BakeSettings& size) {
    std::vector<TableFace> faces;
    for (const ExitFace& exit : body.exits) {
        TableFace face;
        face.exit = exit;
        face.folded = isMirrored(body, exit.shape);
        const bool rings = exit.shape.kind == LampKind::disc;
        face.along = size.along;
        face.across = rings && face.folded && body.symmetry == Symmetry::turned ? 1 : size.across;
        face.directions = size.directions;
        faces.push_back(std::move(face));
    }
    return faces;
}

CellSums::CellSums(const std::vector<TableFace>& faces) : faces_(faces) {
    for (const TableFace& face : faces) sums_.emplace_back(face.cellCount());
}

void CellSums::add(const ExitCrossing& crossing, const Bands& flux) {
    sums_[crossing.face][cellOf(faces_[crossing.face], crossing.local_m, crossing.direction)] += flux;
}

void addLuminance(TableFace& face, const std::vector<double>& measure, std::vector<BandSums> flux) {
    const Slivers slivers(face, measure);
    for (std::size_t c = 0; c < flux.size(); ++c) {
        if (!slivers.is(c)) continue;
        const std::size_t to = slivers.neighbour(c);
        if (to == c) continue;
        flux[to].add(flux[c]);
        flux[c] = BandSums{};
    }
    face.luminance.resize(flux.size() * kBands, 0.0F);
    for (std::size_t c = 0; c < flux.size(); ++c)
        for (std::size_t b = 0; b < kBands; ++b)
            if (measure[c] > 0.0)
                face.luminance[c * kBands + b] += static_cast<float>(flux[c].v[b] / measure[c]);
}

}  // namespace keyfall
