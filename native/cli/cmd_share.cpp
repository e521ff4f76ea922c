#include <cstdio>
#include <ctime>

#include <nlohmann/json.hpp>

#include "casebook/privacy.h"
#include "cli/case_access.h"
#include "cli/commands.h"
#include "share/shared_folder.h"

namespace intercusp::cli {
namespace {

struct ShareOptions {
  std::string path, server, trusted, withdraw, format = "text";
  share::Sharer sharer;
};

std::string date_of(std::int64_t ms) {
  const std::time_t seconds = static_cast<std::time_t>(ms / 1000);
  std::tm day{};
  localtime_r(&seconds, &day);
  char text[32];
  std::strftime(text, sizeof text, "%Y-%m-%d", &day);
  return text;
}

Result<std::unique_ptr<share::ServerLine>> line_to(const std::string& server, const std::string& trusted) {
  const auto address = share::parse_server_address(server);
  if (!address) return address.error();
  return share::ServerLine::open(address.value(), trusted);
}

/// What leaves this machine, said before it does.
void say_what_is_shared(const Case& c, const ShareOptions& options) {
  std::string bodies;
  for (const Body& body : c.bodies) bodies += (bodies.empty() ? "" : ", ") + body.name;
  note("Shared, sealed, with whoever has a link: case id \"" + c.id + "\", " + (bodies.empty() ? "no bodies" : bodies) +
       ", landmarks, " + std::to_string(c.plans.size()) + " plans" +
       (options.sharer.name.empty() ? "" : ", your name \"" + options.sharer.name + "\"") + ".");
  if (const auto warning = id_warning(c.id)) note(*warning + ".");
}

int withdraw(const ShareOptions& options) {
  const auto link = secrets::parse_review_link(options.withdraw);
  if (!link) return fail(link.error());
  const auto line = line_to(link.value().server, options.trusted);
  if (!line) return fail(line.error());
  const Status gone = share::withdraw_case(*line.value(), link.value());
  if (!gone) return fail(gone.error());
  std::printf("The shared case is deleted from the server; its links open nothing any more.\n");
  return kDone;
}

int run(const ShareOptions& options) {
  if (!options.withdraw.empty()) return withdraw(options);
  if (options.path.empty() || options.server.empty()) {
    return fail({"share needs a case and --server", {}, "see `intercusp share --help`"});
  }
  const auto c = open_case(options.path);
  if (!c) return fail(c.error());
  const auto line = line_to(options.server, options.trusted);
  if (!line) return fail(line.error());
  say_what_is_shared(c.value(), options);
  auto published = share::publish_case(*line.value(), c.value(), options.sharer);
  if (!published) return fail(published.error());
  secrets::ReviewLink& link = published.value().link;
  link.server = options.server.back() == '/' ? options.server : options.server + "/";
  const std::string view = review_link_text(link, false), change = review_link_text(link, true);
  if (options.format == "json") {
    const nlohmann::json report{{"view", view}, {"change", change}, {"ends", published.value().ends_ms}};
    std::printf("%s\n", report.dump(2).c_str());
  } else {
    std::printf("For viewing:   %s\nFor changing:  %s\nBoth end on %s, or with `intercusp share --withdraw LINK`.\n",
                view.c_str(), change.c_str(), date_of(published.value().ends_ms).c_str());
  }
  return kDone;
}

}  // namespace

Run add_share(CLI::App& app) {
  auto options = std::make_shared<ShareOptions>();
  app.add_option("case", options->path, "the case file");
  app.add_option("--server", options->server, "the server's address, such as https://clinic.example/");
  app.add_option("--name", options->sharer.name, "your name, as the others see it");
  app.add_option("--role", options->sharer.role, "your role, such as surgeon or orthodontist");
  app.add_option("--days", options->sharer.days, "days until the links end (default 30)")->check(CLI::Range(1, 36500));
  app.add_option("--trust", options->trusted, "certificates (PEM) to trust beside the system's");
  app.add_option("--withdraw", options->withdraw, "instead: delete the shared case of this link from its server");
  app.add_option("--format", options->format, "text (default) or json")->check(CLI::IsMember({"text", "json"}));
  return [options] { return run(*options); };
}

}  // namespace intercusp::cli
