// Write beside, then rename. Not here: what is written.
#include "renderer/photograph/write_file.h"

#include <unistd.h>

#include <system_error>

namespace keyfall {

void writeWhole(const std::filesystem::path& target,
                const std::function<void(const std::filesystem::path&)>& write) {
    // Same directory: a rename is one step only within a file system. The process id keeps two
    // programs that write the same picture apart.
    std::filesystem::path part = target;
    part += ".part" + std::to_string(getpid());
    std::error_code ignored;
    try {
        write(part);
        std::filesystem::rename(part, target);
    } catch (const std::filesystem::filesystem_error& e) {
        std::filesystem::remove(part, ignored);
        throw WriteError(target, e.code().message());
    } catch (const std::exception& e) {
        std::filesystem::remove(part, ignored);
        throw WriteError(target, e.what());
    }
}

}  // namespace keyfall
