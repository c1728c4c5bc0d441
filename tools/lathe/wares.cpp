// Profiles of the turned wares, in cm. Not here: the spoon, which no lathe makes (spoon.cpp).
#include "tools/lathe/wares.h"

#include "tools/lathe/revolve.h"

namespace keyfall::lathe {
namespace {

constexpr double kJarRadius = 4.0, kWall = 0.2, kBase = 0.45, kNeckRadius = 3.25;
constexpr double kJarHeight = 11.0;
constexpr double kLiquidLevel = 7.2;
// README, "The scene file": a liquid overlaps its wall by 0.1 mm or more, its lower priority gives way.
constexpr double kOverlap = 0.02;

}  // namespace

Model teaCaddy() {
    // The foot is turned in a little and hollow below, as a trimmed foot is; the belly is 1 mm
    // wider than the shoulder. The neck stands inside the lid and carries it with a 0.6 mm seam.
    const std::vector<Knot> body{{0.0, 0.30, 0},      {3.35, 0.30, 0.15},  {3.50, 0.00, 0.10},
                                 {3.95, 0.00, 0.12},  {4.02, 0.42, 0.20},  {4.36, 0.78, 0.55},
                                 {4.50, 5.20, 90.0},  {4.38, 10.62, 0.28}, {3.92, 10.62, 0.10},
                                 {3.90, 11.30, 0.10}, {0.0, 11.30, 0}};
    // A cap with a shallow dome and a flared knob.
    const std::vector<Knot> lid{{0.0, 11.46, 0},     {4.00, 11.46, 0.10}, {4.02, 10.68, 0.06},
                                {4.38, 10.68, 0.09}, {4.36, 12.55, 0.42}, {2.60, 12.98, 9.00},
                                {0.82, 13.08, 0.22}, {0.74, 13.45, 0.25}, {1.28, 13.72, 0.16},
                                {1.02, 13.96, 0.20}, {0.0, 14.00, 0}};
    return {"Stoneware tea caddy with its lid, 9 cm across",
            {revolve("body", body), revolve("lid", lid)}};
}

Model glassJar() {
    const double in = kJarRadius - kWall, neckIn = kNeckRadius - kWall;
    // Up the outside and down the inside. The underside is drawn in by 1.5 mm, so that the jar
    // stands on a ring; the lip is a full round.
    const std::vector<Knot> profile{{0.0, 0.15, 0},
                                    {2.90, 0.15, 0.50},
                                    {3.30, 0.00, 0.30},
                                    {kJarRadius, 0.00, 0.45},
                                    {kJarRadius, 8.40, 1.00},
                                    {kNeckRadius, 9.55, 0.60},
                                    {kNeckRadius, 10.25, 0.10},
                                    {kNeckRadius + 0.12, 10.35, 0.10},
                                    {kNeckRadius + 0.12, kJarHeight, 0.12},
                                    {neckIn, kJarHeight, 0.12},
                                    {neckIn, 9.47, 0.75},
                                    {in, 8.32, 0.85},
                                    {in, kBase, 0.40},
                                    {0.0, kBase, 0}};
    return {"Glass jar, wall 2 mm, open at the top, 8 cm across", {revolve("jar", profile)}};
}

Model jarLiquid() {
    const double radius = kJarRadius - kWall + kOverlap, bottom = kBase - kOverlap;
    return {"Liquid of glass_jar.obj, 0.2 mm into its wall, flat top; same origin as the jar",
            {revolve("liquid", {{0.0, bottom, 0},
                                {radius, bottom, 0.40 + kOverlap},
                                {radius, kLiquidLevel, 0},
                                {0.0, kLiquidLevel, 0}})}};
}

}  // namespace keyfall::lathe
