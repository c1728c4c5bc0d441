// Write beside, then rename. Not here: what is written.
#include "renderer/photograph/write_file.h"

#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <system_error>

namespace keyfall {
namespace {

namespace fs = std::filesystem;

/// A file on its way; what is left of it goes at the end of the scope. After the rename there is
/// nothing left.
class Part {
  public:
    explicit Part(fs::path path) : path_(std::move(path)) {}
    ~Part() {
        std::error_code ignored;
        fs::remove(path_, ignored);
    }
    Part(const Part&) = delete;
    Part& operator=(const Part&) = delete;
    const fs::path& path() const { return path_; }

  private:
    fs::path path_;
};

fs::path folderOf(const fs::path& file) {
    return file.has_parent_path() ? file.parent_path() : fs::path(".");
}

/// Links in /proc name open descriptors, not paths: their text ("pipe:[42]") leads nowhere.
bool isDescriptor(const fs::path& file) {
    std::error_code none;
    const std::string folder = fs::canonical(folderOf(file), none).string() + "/";
    return folder.rfind("/proc/", 0) == 0;
}

fs::path newTemporary() {
    std::string name = (fs::temp_directory_path() / "keyfall-XXXXXX").string();
    const int descriptor = mkstemp(name.data());
    if (descriptor < 0) throw std::runtime_error(std::strerror(errno));
    close(descriptor);
    return name;
}

/// Appends, so that a descriptor behind a shell's >> keeps what it has.
void pour(const fs::path& from, const fs::path& into) {
    std::ifstream bytes(from, std::ios::binary);
    std::ofstream stream(into, std::ios::binary | std::ios::app);
    if (!stream) throw std::runtime_error(std::strerror(errno));
    stream << bytes.rdbuf();
    stream.close();
    if (!bytes || !stream) throw std::runtime_error("it took only a part");
}

void writeTo(const OutputTarget& target, const std::function<void(const fs::path&)>& write) {
    if (target.stream) {
        // By way of a file: an EXR is not written from front to back.
        const Part part(newTemporary());
        write(part.path());
        pour(part.path(), target.file);
        return;
    }
    // Same directory: a rename is one step only within a file system. The process id keeps two
    // programs that write the same picture apart.
    const Part part(fs::path(target.file) += ".part" + std::to_string(getpid()));
    write(part.path());
    fs::rename(part.path(), target.file);
}

}  // namespace

OutputTarget outputTarget(const fs::path& target) {
    constexpr int kMostLinks = 40;  // as the kernel's own walk gives up (path_resolution(7))
    std::error_code none;
    fs::path file = target;
    for (int links = 0; links <= kMostLinks; ++links) {
        const fs::file_status status = fs::status(file, none);
        const bool replaceable =
            !fs::exists(status) || fs::is_regular_file(status) || fs::is_directory(status);
        if (!replaceable || isDescriptor(file)) return {file, true};
        if (!fs::is_symlink(file, none)) return {file, false};
        file = folderOf(file) / fs::read_symlink(file, none);  // an absolute link replaces it all
    }
    throw WriteError(target, "its symbolic links lead in a circle");
}

void writeWhole(const fs::path& target, const std::function<void(const fs::path&)>& write) {
    try {
        writeTo(outputTarget(target), write);
    } catch (const WriteError&) {
        throw;
    } catch (const fs::filesystem_error& e) {
        throw WriteError(target, e.code().message());
    } catch (const std::exception& e) {
        throw WriteError(target, e.what());
    }
}

}  // namespace keyfall
