// What the program's exit status means; README lists the same.
#pragma once

namespace keyfall {

enum ExitCode : int {
    kDone = 0,          ///< also when --time ended the work
    kBadCommandLine = 2,
    kBadScene = 3,      ///< also one that wants more memory than there is
    kBadOtherFile = 4,
    kCannotWrite = 5,
    kCutShort = 6,      ///< Ctrl-C, or the wanted noise not reached; the result so far is written
    kInternal = 70,
};

}  // namespace keyfall
