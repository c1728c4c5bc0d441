// The text of a photometric file as lines and numbers that know their place.
// Not here: what the numbers mean (photometry_lm63.cpp, photometry_eulumdat.cpp).
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "scene/photometry_file.h"

namespace keyfall {

/// More angles than any goniophotometer takes: a count beyond it is a slip.
inline constexpr int kMostAngles = 10000;
/// Candelas; a searchlight has some 1e9. Beyond it a factor is wrong.
inline constexpr double kMostIntensity_cd = 1e12;
/// Neighbouring angles are at least this far apart: finer than any goniophotometer's, and enough
/// for the nine digits of a written file.
inline constexpr double kLeastStep_deg = 1e-4;

/// Lines that end with CR-LF, LF or CR alone; without their ends.
std::vector<std::string_view> photometryLines(std::string_view text);

/// Numbers between blanks, tabs and commas, one record after the other over the ends of lines.
/// Every function throws PhotometryError at the number or the line that is wrong.
class NumberStream {
  public:
    NumberStream(const std::vector<std::string_view>& lines, std::size_t firstLine)
        : lines_(&lines), line_(firstLine) {}

    double next(std::string_view what);
    /// A whole number within low..high.
    int whole(std::string_view what, int low, int high);
    double positive(std::string_view what);
    double notNegative(std::string_view what);
    /// The record of `count` numbers that was read last has to end with its line.
    void endRecord(std::string_view what, int count);
    /// Nothing but text may follow. `what` was last.
    void end(std::string_view what);

    /// About the number that was read last.
    [[noreturn]] void fail(const std::string& problem) const;

  private:
    bool skipBlanks();  ///< to the next word of this line; false at its end
    std::string_view word();

    const std::vector<std::string_view>* lines_;
    std::size_t line_;
    std::size_t column_ = 0;
    int lastLine_ = 0;
    int lastColumn_ = 0;
};

}  // namespace keyfall
