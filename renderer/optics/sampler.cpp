// The independent sampler. Not here: the Sobol sampler, which the hot loops inline (sampler.h).
#include "renderer/optics/sampler.h"

namespace keyfall {

IndependentSampler::IndependentSampler(std::uint32_t seed, std::uint32_t stream,
                                       std::uint32_t index)
    : state_(mix64((static_cast<std::uint64_t>(combine32(seed, stream)) << 32U) + index + 1U)) {}

float IndependentSampler::next1D() {
    const std::uint64_t old = state_;
    state_ = old * 6364136223846793005U + 1442695040888963407U;
    const auto mixed = static_cast<std::uint32_t>(((old >> 18U) ^ old) >> 27U);
    const auto turn = static_cast<std::uint32_t>(old >> 59U);
    return unitFloat((mixed >> turn) | (mixed << ((32U - turn) & 31U)));
}

glm::vec2 IndependentSampler::next2D() {
    const float x = next1D();  // a fixed order: the arguments of one call have none
    return {x, next1D()};
}

}  // namespace keyfall
