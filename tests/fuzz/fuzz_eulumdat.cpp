// EULUMDAT from any bytes: a sound web, or an error that says something. Not here: what a sound web
// is (web_promises.h).
#include "tests/fuzz/fuzz_target.h"
#include "tests/fuzz/web_promises.h"

std::string keyfall::fuzz::readEulumdat(std::string_view bytes) {
    PhotometricWeb web;
    try {
        web = parseEulumdat(bytes);
    } catch (const PhotometryError& error) {
        return *error.what() == '\0' || error.line < 0 ? "an error says what and where" : "";
    }
    // Outside of `try`: a web that was read has to survive being written.
    return brokenByWeb(web);
}

#ifdef KEYFALL_LIBFUZZER
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    return keyfall::fuzz::judge(keyfall::fuzz::readEulumdat, data, size);
}
#endif
