#!/usr/bin/env python3
"""Fits the three RGB reflectance bases in 16 bands and prints assets/spectra/rgb_basis.csv.

Plain Python 3, no packages:  python3 tools/fit_rgb_basis.py > assets/spectra/rgb_basis.csv

Method after Mallett & Yuksel, "Spectral Primary Decomposition for Rendering with sRGB
Reflectance" (EGSR 2019): of all triples of reflectances in [0, 1] that sum to 1 and have the
colours of the three primaries under D65, the one with the smallest sum of squared differences
between neighbours. Here it is refitted to the 16 bands that the program carries. Not here: the
program's own reading of them (scene/rgb_basis.cpp).
"""
import math
import os

BANDS, START_NM, WIDTH_NM = 16, 400.0, 18.75
SPECTRA = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "assets", "spectra")


def read_csv(name):
    """Rows of numbers; comments and the heading line are skipped."""
    rows = []
    for line in open(os.path.join(SPECTRA, name), encoding="utf-8"):
        if line[0] != "#" and not line.startswith("wavelength"):
            rows.append([float(cell) for cell in line.split(",")])
    return rows


def interpolate(rows, column, nm):
    for low, high in zip(rows, rows[1:]):
        if low[0] <= nm <= high[0]:
            t = (nm - low[0]) / (high[0] - low[0])
            return (1 - t) * low[column] + t * high[column]
    raise ValueError(nm)


def band_shares(nm):
    """(band, share) of the 1 nm interval around nm; light outside 400-700 goes to the edges."""
    def band_at(x):
        return min(max(int(math.floor((x - START_NM) / WIDTH_NM)), 0), BANDS - 1)
    first, last = band_at(nm - 0.5), band_at(nm + 0.5)
    if first == last:
        return [(first, 1.0)]
    edge = START_NM + WIDTH_NM * last
    return [(first, edge - nm + 0.5), (last, nm + 0.5 - edge)]


def band_xyz_d65():
    """bandXYZ of D65, as scene/fine_spectrum.cpp forms it: 3 rows of 16, Y sums to 1."""
    observer = {int(row[0]): row[1:] for row in read_csv("cie_1931_2deg.csv")}
    light = read_csv("cie_illuminants.csv")
    xyz = [[0.0] * BANDS for _ in range(3)]
    for nm in range(380, 781):
        power = interpolate(light, 4, nm)
        for band, share in band_shares(nm):
            for c in range(3):
                xyz[c][band] += power * share * observer[nm][c]
    luminous = sum(xyz[1])
    return [[value / luminous for value in row] for row in xyz]


def solve(matrix, right):
    """Gaussian elimination with row pivots."""
    n = len(matrix)
    rows = [list(row) + [value] for row, value in zip(matrix, right)]
    for i in range(n):
        pivot = max(range(i, n), key=lambda r: abs(rows[r][i]))
        rows[i], rows[pivot] = rows[pivot], rows[i]
        for r in range(i + 1, n):
            factor = rows[r][i] / rows[i][i]
            if factor:
                for c in range(i, n + 1):
                    rows[r][c] -= factor * rows[i][c]
    x = [0.0] * n
    for i in reversed(range(n)):
        x[i] = (rows[i][n] - sum(rows[i][c] * x[c] for c in range(i + 1, n))) / rows[i][i]
    return x


def times(matrix, vector):
    return [sum(m * v for m, v in zip(row, vector)) for row in matrix]


def product(a, b):
    return [[sum(x * y for x, y in zip(row, col)) for col in zip(*b)] for row in a]


def inverse3(m):
    columns = [solve(m, [float(i == k) for i in range(3)]) for k in range(3)]
    return [list(row) for row in zip(*columns)]


def srgb_to_xyz():
    """IEC 61966-2-1 from its primaries and white (0.3127, 0.3290), full precision."""
    def xyz(x, y):
        return [x / y, 1.0, (1 - x - y) / y]
    primaries = [list(row) for row in zip(xyz(.64, .33), xyz(.30, .60), xyz(.15, .06))]
    scale = solve(primaries, xyz(.3127, .3290))
    return [[value * s for value, s in zip(row, scale)] for row in primaries]


def bradford(white_from, white_to):
    cone = [[.8951, .2664, -.1614], [-.7502, 1.7135, .0367], [.0389, -.0685, 1.0296]]
    gain = [b / a for a, b in zip(times(cone, white_from), times(cone, white_to))]
    scaled = [[value * g for value in row] for row, g in zip(cone, gain)]
    return product(inverse3(cone), scaled)


def equalities(xyz, target):
    """Rows and right sides: the bases sum to 1 in each band; red and green have their XYZ (blue
    follows, because the white is the sum)."""
    rows, right = [], []
    for band in range(BANDS):
        row = [0.0] * (3 * BANDS)
        for base in range(3):
            row[base * BANDS + band] = 1.0
        rows.append(row)
        right.append(1.0)
    for base in range(2):
        for c in range(3):
            row = [0.0] * (3 * BANDS)
            row[base * BANDS:(base + 1) * BANDS] = xyz[c]
            rows.append(row)
            right.append(target[c][base])
    return rows, right


def smoothness():
    """Hessian of the sum of squared differences between neighbouring bands."""
    n = 3 * BANDS
    h = [[0.0] * n for _ in range(n)]
    for base in range(3):
        for i in range(base * BANDS, (base + 1) * BANDS - 1):
            h[i][i] += 2.0
            h[i + 1][i + 1] += 2.0
            h[i][i + 1] -= 2.0
            h[i + 1][i] -= 2.0
    return h


def minimise(h, rows, right, at_zero):
    """The quadratic programme with the variables `at_zero` held at 0: x and their multipliers."""
    n, held = len(h), sorted(at_zero)
    all_rows = rows + [[float(i == k) for i in range(n)] for k in held]
    m = len(all_rows)
    matrix = [h[i] + [row[i] for row in all_rows] for i in range(n)]
    matrix += [row + [0.0] * m for row in all_rows]
    answer = solve(matrix, [0.0] * n + right + [0.0] * len(held))
    return answer[:n], dict(zip(held, answer[n + len(rows):]))


def fit():
    """Primal-dual active set: hold at 0 what would be negative, free what pushes upwards. The sum
    of 1 keeps everything below 1 once nothing is below 0."""
    xyz = band_xyz_d65()
    white = [sum(row) for row in xyz]
    matrix = srgb_to_xyz()
    target = product(bradford([sum(row) for row in matrix], white), matrix)
    rows, right = equalities(xyz, target)
    h, at_zero = smoothness(), set()
    for _ in range(100):
        x, multiplier = minimise(h, rows, right, at_zero)
        keep = {k for k in at_zero if multiplier[k] <= 0.0}
        following = keep | {i for i, value in enumerate(x) if value < -1e-12}
        if following == at_zero:
            return [x[base * BANDS:(base + 1) * BANDS] for base in range(3)]
        at_zero = following
    raise RuntimeError("the active set did not settle")


def main():
    bases = fit()
    print("# Reflectance bases of linear Rec. 709 red, green and blue in 16 bands of 18.75 nm from "
          "400 nm (band middles)")
    print("# Method: Mallett & Yuksel, Spectral Primary Decomposition for Rendering with sRGB "
          "Reflectance (EGSR 2019), refitted to the bands under CIE D65")
    print("# Written by tools/fit_rgb_basis.py: smoothest triple in [0, 1] that sums to 1 and "
          "matches the primaries; white adapted from D65 by Bradford")
    print("wavelength_nm,red,green,blue")
    for band in range(BANDS):
        middle = START_NM + (band + 0.5) * WIDTH_NM
        print("%g,%s" % (middle, ",".join("%.12g" % (base[band] if base[band] > 1e-12 else 0.0) for base in bases)))


if __name__ == "__main__":
    main()
