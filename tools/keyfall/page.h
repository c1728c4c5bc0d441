// The page of a comparison: one HTML file that needs nothing else, opens from the disk, and re-lights the
// variants whose layers it holds. Not here: what it looks like and does (tools/page), the sheet (sheet.h).
#pragma once

#include <cstddef>
#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "compared.h"

namespace keyfall {

inline constexpr std::size_t kMostPageBytes = 25'000'000;
inline constexpr std::size_t kMostVariants = 24;

struct PageSettings {
    std::string title;
    std::string at;                 ///< probe of equal exposure
    Compare::By by = Compare::By::power;
    std::vector<std::string> live;  ///< names of the variants whose layers it holds, at most two
    std::size_t mostBytes = kMostPageBytes;
    std::vector<std::string> cautions = {};  ///< of the comparison as a whole; a variant's own come with it
};

class Page {
  public:
    explicit Page(PageSettings settings);
    ~Page();
    Page(const Page&) = delete;
    Page& operator=(const Page&) = delete;

    /// Keeps of the variant what the page needs: picture, report, plan, and of a live one its layers.
    void add(const ComparedVariant& variant);

    /// The page, at most settings.mostBytes: above it layers are halved in size until it fits, then left out,
    /// then pictures are halved; and it says so. Throws std::length_error when nothing of that is enough.
    std::string html() const;
    /// Whole or not at all. Throws WriteError.
    void write(const std::filesystem::path& file) const;

  private:
    struct Parts;
    std::unique_ptr<Parts> parts_;
};

}  // namespace keyfall
