// Loops of the mixer, written so that the compiler turns them into vector code for baseline x86-64.
// Not here: the reference (develop.cpp, exposure.cpp).
#include "renderer/photograph/mixer.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstring>
#include <stdexcept>
#include <string>

#include "renderer/film/memory.h"
#include "renderer/film/parallel.h"
#include "renderer/photograph/exposure.h"
#include "renderer/photograph/srgb_table.h"

// The same loops once more for processors with wider vectors, chosen when the program starts. A sum, a
// product and a conversion round the same in any width, and none is fused (-ffp-contract=off): same bytes.
// Not in sanitized builds: the choice is made before a sanitizer has set itself up.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__) && \
    !defined(__SANITIZE_THREAD__)
#define KEYFALL_ANY_WIDTH __attribute__((target_clones("avx2", "default")))
#else
#define KEYFALL_ANY_WIDTH
#endif

namespace keyfall {
namespace {

static_assert(std::endian::native == std::endian::little, "packed codes are stored as one word");

constexpr float kMost = 65535.0F;
/// Below this a layer's light in a pixel counts as none: its share of any picture value is nothing, and
/// one over it would be infinite.
constexpr float kDark = 1e-30F;

/// Half a float that is not below `scale`: shares of it never exceed kMost.
std::uint16_t halfAbove(float scale) {
    return static_cast<std::uint16_t>((std::bit_cast<std::uint32_t>(scale) + 0xffffU) >> 16U);
}
float fromHalf(std::uint16_t half) {
    return std::bit_cast<float>(static_cast<std::uint32_t>(half) << 16U);
}

std::uint16_t rounded(float share) {
    return static_cast<std::uint16_t>(static_cast<std::int32_t>(share + 0.5F));
}

bool same(const BandXYZ& a, const BandXYZ& b) {
    return std::equal(a.xyz.begin(), a.xyz.end(), b.xyz.begin());
}

}  // namespace

Mixer::Mixer(const Film& film)
    : width_px_(film.width()),
      height_px_(film.height()),
      pixels_(film.pixelCount()),
      layers_(film.layers().size()),
      tiles_((pixels_ + kTile - 1) / kTile) {
    const std::size_t count = tiles_ * layers_;
    requireMemory(count * (sizeof(BandTile) + sizeof(XyzTile)) + pixels_ * 15, availableBytes());
    bands_.resize(count);
    xyz_.resize(count);
    colour_.resize(layers_);
    coloured_.resize(layers_, false);
    parallelFor(tiles_, [&](std::size_t tile) {
        for (std::size_t l = 0; l < layers_; ++l) pack(film, l, tile * kTile, bands_[tileOf(l, tile)]);
    });
}

void Mixer::pack(const Film& film, std::size_t layer, std::size_t first, BandTile& out) {
    const std::size_t count = std::min(kTile, film.pixelCount() - first);
    for (std::size_t i = 0; i < count; ++i) {
        const Bands transfer = film.transfer(layer, first + i);
        const float most = transfer.largest();
        if (!(most > kDark)) continue;  // the tile began as 0
        out.scale[i] = most / kMost;
        for (int b = 0; b < kBands; ++b)
            out.share[b][i] = rounded(std::clamp(transfer[b] / most, 0.0F, 1.0F) * kMost);
    }
}

KEYFALL_ANY_WIDTH
void Mixer::recolour(const BandTile& bands, const Part& part, XyzTile& out) {
    Sums xyz{};
    // Four bands at once: the sums are fetched and stored four times in place of sixteen.
    for (int b = 0; b < kBands; b += 4) {
        const float *x = &part.weight[0][b], *y = &part.weight[1][b], *z = &part.weight[2][b];
        for (std::size_t i = 0; i < kTile; ++i) {
            const auto s0 = static_cast<float>(bands.share[b][i]), s1 = static_cast<float>(bands.share[b + 1][i]);
            const auto s2 = static_cast<float>(bands.share[b + 2][i]), s3 = static_cast<float>(bands.share[b + 3][i]);
            xyz.v[0][i] += (x[0] * s0 + x[1] * s1) + (x[2] * s2 + x[3] * s3);
            xyz.v[1][i] += (y[0] * s0 + y[1] * s1) + (y[2] * s2 + y[3] * s3);
            xyz.v[2][i] += (z[0] * s0 + z[1] * s1) + (z[2] * s2 + z[3] * s3);
        }
    }
    for (std::size_t i = 0; i < kTile; ++i) {
        const float x = xyz.v[0][i], y = xyz.v[1][i], z = xyz.v[2][i];
        const float most = std::max(std::max(x, y), z) * bands.scale[i];
        // A dark pixel gets this scale and shares that round to 0: a loop without branches.
        const std::uint16_t half = halfAbove(std::max(most, kDark) / kMost);
        const float inverse = bands.scale[i] / fromHalf(half);
        out.scale[i] = half;
        out.share[0][i] = rounded(x * inverse);
        out.share[1][i] = rounded(y * inverse);
        out.share[2][i] = rounded(z * inverse);
    }
}

KEYFALL_ANY_WIDTH
void Mixer::add(const XyzTile& xyz, float amount, Sums& sums) {
    for (std::size_t i = 0; i < kTile; ++i) {
        const float scale = amount * fromHalf(xyz.scale[i]);
        sums.v[0][i] += scale * static_cast<float>(xyz.share[0][i]);
        sums.v[1][i] += scale * static_cast<float>(xyz.share[1][i]);
        sums.v[2][i] += scale * static_cast<float>(xyz.share[2][i]);
    }
}

KEYFALL_ANY_WIDTH
void Mixer::transform(const glm::dmat3& matrix, Sums& sums) {
    const glm::mat3 m(matrix);
    const glm::vec3 x = m[0], y = m[1], z = m[2];
    for (std::size_t i = 0; i < kTile; ++i) {
        const float sumX = sums.v[0][i], sumY = sums.v[1][i], sumZ = sums.v[2][i];
        sums.v[0][i] = x.x * sumX + y.x * sumY + z.x * sumZ;
        sums.v[1][i] = x.y * sumX + y.y * sumY + z.y * sumZ;
        sums.v[2][i] = x.z * sumX + y.z * sumY + z.z * sumZ;
    }
}

KEYFALL_ANY_WIDTH
void Mixer::limit(Sums& sums) {
    for (std::size_t c = 0; c < 3; ++c)
        for (std::size_t i = 0; i < kTile; ++i)
            sums.v[c][i] = std::min(std::max(sums.v[c][i], SrgbTable::kLeast), 1.0F);
}

std::vector<Mixer::Part> Mixer::partsOf(const std::vector<LayerMix>& mix) {
    if (mix.size() != layers_)
        throw std::logic_error("a mix of " + std::to_string(mix.size()) + " layers for a mixer of " +
                               std::to_string(layers_));
    std::vector<Part> parts;
    for (std::size_t l = 0; l < layers_; ++l) {
        if (mix[l].amount == 0.0) continue;  // off: not even times 0
        Part part;
        part.layer = l;
        part.amount = static_cast<float>(mix[l].amount);
        part.recolour = !coloured_[l] || !same(colour_[l], mix[l].bands);
        for (std::size_t b = 0; b < kBands; ++b)
            for (int c = 0; c < 3; ++c)
                part.weight[c][b] = static_cast<float>(mix[l].bands.xyz[b][c]);
        colour_[l] = mix[l].bands;
        coloured_[l] = true;
        parts.push_back(part);
    }
    return parts;
}

template <class Write>
void Mixer::run(const std::vector<LayerMix>& mix, double factor, glm::dvec3 white, const Write& write) {
    const std::vector<Part> parts = partsOf(mix);
    const glm::dmat3 matrix = factor * balancedSrgbFromXyz(white);
    parallelFor(tiles_, [&](std::size_t tile) {
        Sums sums{};
        for (const Part& part : parts) {
            XyzTile& xyz = xyz_[tileOf(part.layer, tile)];
            if (part.recolour) recolour(bands_[tileOf(part.layer, tile)], part, xyz);
            add(xyz, part.amount, sums);
        }
        transform(matrix, sums);
        write(sums, tile * kTile, std::min(kTile, pixels_ - tile * kTile));
    });
}

const std::vector<std::uint8_t>& Mixer::codes(const std::vector<LayerMix>& mix, double factor,
                                              glm::dvec3 white) {
    static const SrgbTable table;
    codes_.resize(3 * pixels_);
    run(mix, factor, white, [&](Sums& sums, std::size_t first, std::size_t count) {
        limit(sums);
        std::uint8_t* out = &codes_[3 * first];
        // Four bytes a pixel, of which the next pixel overwrites the last. The tile's last pixel has no next
        // one: behind it another thread may be writing.
        for (std::size_t i = 0; i + 1 < count; ++i) {
            const std::uint32_t rgb = table.packed(sums.v[0][i], sums.v[1][i], sums.v[2][i]);
            std::memcpy(out + 3 * i, &rgb, 4);
        }
        const std::size_t last = count - 1;
        const std::uint32_t rgb = table.packed(sums.v[0][last], sums.v[1][last], sums.v[2][last]);
        std::memcpy(out + 3 * last, &rgb, 3);
    });
    return codes_;
}

const std::vector<float>& Mixer::linear(const std::vector<LayerMix>& mix, double factor, glm::dvec3 white) {
    linear_.resize(3 * pixels_);
    run(mix, factor, white, [&](const Sums& sums, std::size_t first, std::size_t count) {
        float* out = &linear_[3 * first];
        for (std::size_t i = 0; i < count; ++i)
            for (std::size_t c = 0; c < 3; ++c) out[3 * i + c] = sums.v[c][i];
    });
    return linear_;
}

}  // namespace keyfall
