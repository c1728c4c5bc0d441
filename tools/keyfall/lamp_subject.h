// Which lamp the command line asks for, of a scene or of the library. Not here: measuring it.
#pragma once

#include "lamp_report.h"
#include "options.h"

namespace keyfall {

struct AskedLamp {
    LampSubject subject;
    LampReport report;     ///< all but its figures
    int exitCode = 0;      ///< of a scene with mistakes, already printed
    bool stopped = false;  ///< by Ctrl-C, before its table was made
};

/// Throws CommandLineError for a name that is not there, with those that are, and for a lamp and a
/// modifier that do not go together; SceneError as prepare() does.
AskedLamp askedLamp(const Options& options);

}  // namespace keyfall
