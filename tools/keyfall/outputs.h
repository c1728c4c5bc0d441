// Where a command's results go, checked before the work. Not here: writing (renderer/photograph).
#pragma once

#include <stdexcept>
#include <string>
#include <vector>

namespace keyfall {

/// A command line that contradicts itself; exit code 2.
struct CommandLineError : std::runtime_error {
    using std::runtime_error::runtime_error;
};

struct Output {
    std::string option;  ///< as users write it, for messages
    std::string file;    ///< "" none, "-" standard output: always fine
};

/// Writes to standard output at once. Throws WriteError when it does not take all of it: a full
/// disk behind a redirection is no mistake of the program.
void writeStandardOutput(const std::string& text);
/// Text to `target`: "-" is standard output, else a whole file or none. Throws WriteError.
void writeText(const std::string& target, const std::string& text);

/// Better before the work than after: throws WriteError for an output that could not be written,
/// CommandLineError for two outputs of one name, or one that is the scene file.
void requireOutputs(const std::string& scene, const std::vector<Output>& outputs);

/// Throws CommandLineError when the output would replace `input`, of which `what` says what it is.
void requireApart(const Output& output, const std::string& input, const std::string& what);

}  // namespace keyfall
