// The sheet of a comparison as PNG: the pictures side by side with settings and readings under them, to be
// read at the width of an A4 page. Not here: the page that re-lights (page.h), maps (maps_sheet.h).
#pragma once

#include <string>

#include "compare_report.h"

namespace keyfall {

/// Whole or not at all. Throws WriteError, CommandLineError when `file` does not end in .png. Requires a
/// variant.
void writeCompareSheet(const CompareReport& report, const std::string& file);

/// `image` made `width_px` wide, its sides' ratio kept: the mean light of the area that a pixel covers.
Srgb8Image scaledTo(const Srgb8Image& image, int width_px);

}  // namespace keyfall
