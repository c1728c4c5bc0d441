// A disk that is full after so many bytes, for tests of writers. Not here: other failures.
#pragma once

#include <sys/resource.h>

#include <csignal>

namespace keyfall::synthetic {

/// While it lives, a write that takes a file beyond `bytes` fails, as on a full disk.
class SmallDisk {
  public:
    explicit SmallDisk(rlim_t bytes) {
        handler_ = std::signal(SIGXFSZ, SIG_IGN);
        getrlimit(RLIMIT_FSIZE, &before_);
        const rlimit limit{bytes, before_.rlim_max};
        setrlimit(RLIMIT_FSIZE, &limit);
    }
    ~SmallDisk() {
        setrlimit(RLIMIT_FSIZE, &before_);
        std::signal(SIGXFSZ, handler_);
    }
    SmallDisk(const SmallDisk&) = delete;
    SmallDisk& operator=(const SmallDisk&) = delete;

  private:
    rlimit before_{};
    void (*handler_)(int) = nullptr;
};

}  // namespace keyfall::synthetic
