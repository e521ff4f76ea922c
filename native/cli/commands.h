// One function a command. Each adds its options to a subcommand and returns what to run once the line is parsed: an
// exit code of 0 (done), 1 (done, but outside a limit that was asked for) or 2 (bad usage or bad input).
#pragma once

#include <functional>
#include <memory>
#include <string>

#include <CLI/CLI.hpp>

namespace intercusp::cli {

using Run = std::function<int()>;

Run add_new(CLI::App& app);
Run add_sample(CLI::App& app);
Run add_info(CLI::App& app);
Run add_measure(CLI::App& app);
Run add_contact(CLI::App& app);
Run add_face(CLI::App& app);
Run add_cut(CLI::App& app);
Run add_move(CLI::App& app);
Run add_settle(CLI::App& app);
Run add_close(CLI::App& app);
Run add_splint(CLI::App& app);
Run add_sheet(CLI::App& app);
Run add_compare(CLI::App& app);
Run add_export(CLI::App& app);
Run add_practice(CLI::App& app);
Run add_view(CLI::App& app);
Run add_share(CLI::App& app);
Run add_fetch(CLI::App& app);
Run add_serve(CLI::App& app);

}  // namespace intercusp::cli
