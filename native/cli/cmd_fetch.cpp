#include <cstdio>

#include "casebook/case_file.h"
#include "cli/case_access.h"
#include "cli/commands.h"
#include "share/shared_folder.h"

namespace intercusp::cli {
namespace {

struct FetchOptions {
  std::string link, trusted, out;
  bool force = false;
};

int run(const FetchOptions& options) {
  const auto link = secrets::parse_review_link(options.link);
  if (!link) return fail(link.error());
  const auto address = share::parse_server_address(link.value().server);
  if (!address) return fail(address.error());
  const auto line = share::ServerLine::open(address.value(), options.trusted);
  if (!line) return fail(line.error());
  const auto fetched = share::fetch_case(*line.value(), link.value());
  if (!fetched) return fail(fetched.error());
  const Status saved = save_case(fetched.value().c, options.out, options.force);
  if (!saved) return fail(saved.error());
  for (const std::string& words : fetched.value().notes) note(words);
  const share::FetchedCase& got = fetched.value();
  std::printf("%s holds the shared case (entries %zu, plans %zu, remarks %zu, agreements %zu).\n", options.out.c_str(),
              got.entries, got.c.plans.size(), got.remarks, got.agreements.size());
  return kDone;
}

}  // namespace

Run add_fetch(CLI::App& app) {
  auto options = std::make_shared<FetchOptions>();
  app.add_option("link", options->link, "the link, whole and in quotes")->required();
  app.add_option("--trust", options->trusted, "certificates (PEM) to trust beside the system's");
  app.add_option("-o,--output", options->out, "the case file to write")->required();
  app.add_flag("--force", options->force, "overwrite what is there");
  return [options] { return run(*options); };
}

}  // namespace intercusp::cli
