// The noise of a table as it is told, against tables made again. Not here: what of it is printed.
#include <catch2/catch.hpp>

#include "../transport/dressed.h"
#include "renderer/meter/table_noise.h"

using namespace keyfall;
using namespace keyfall::test;

TEST_CASE("tables made with other seeds differ by the noise that is told of one", "[meter][lamp][long]") {
    LampShape ball;
    ball.kind = LampKind::sphere;
    ball.a_m = 0.03F;
    LampSubject subject;
    subject.shape = ball;
    subject.lampBody = mattOf(0.5F);
    subject.light = bandXYZ(lampSpectrum(5500.0));
    subject.body = std::make_shared<const ModifierBody>(
        buildModifier(box("full"), ball, {{"white", mattOf(0.85F)}}, {{"full", skinOf(0.354F, 0.57F)}}));
    RunSettings run;
    run.threads = 2;
    constexpr std::uint32_t kPhotons = 1U << 14U;
    const auto noise = tableNoise(subject, kPhotons, 64, run);
    REQUIRE(noise);

    Reading far;
    for (std::uint32_t i = 0; i < kReplicates; ++i) {
        BakeSettings settings = bakeSizeFor(*subject.body);
        settings.photons = kPhotons;
        settings.run.threads = 2;
        settings.run.seed = 50 + i;
        subject.table = std::make_shared<const NearFieldTable>(bake(ball, subject.lampBody, *subject.body, settings));
        far.value[i] = weighted(LampBench(subject, run).intensity_perSr({0, 0, 1}, 64), subject.light).mean();
    }
    const Reading told = weighted(noise->axis_perSr, subject.light);
    const double scatter = far.standardError() * std::sqrt(static_cast<double>(kReplicates));  // of one table
    INFO("told " << told.standardError() / told.mean() << ", seen " << scatter / far.mean());
    // Two variances of 15 degrees of freedom: their ratio passes 7.5 once in ten thousand (F distribution, from
    // memory), that of the errors 2.7. Less than half of it is noise falling faster than photons rise.
    CHECK(told.standardError() < 2.7 * scatter);
    CHECK(told.standardError() > scatter / 2.7);
    CHECK(told.mean() == Approx(far.mean()).margin(4.0 * std::hypot(told.standardError(), far.standardError())));
}
