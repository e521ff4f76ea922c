#include "share/practice_keys.h"

#include <utility>

#include "base/base64.h"
#include "base/json_read.h"
#include "review/crypto.h"
#include "share/class_inbox.h"
#include "share/graded_line.h"
#include "share/job_thread.h"
#include "share/person_key.h"

namespace intercusp::share {
namespace {

using nlohmann::json;

std::string text_of(const json& request, const char* key) {
  return text_at(request, key).value_or("");
}

std::string bytes_at(const json& request, const char* key) {
  return from_base64url(text_of(request, key)).value_or("");
}

Result<json> sign(const json& request) {
  const auto seed = person_seed();
  if (!seed) return seed.error();
  const auto key = secrets::ed25519_public(seed.value());
  if (!key) return key.error();
  const auto signature = secrets::ed25519_sign(seed.value(), bytes_at(request, "bytes"));
  if (!signature) return signature.error();
  return json{{"event", "signed"}, {"key", base64url(key.value())}, {"signature", base64url(signature.value())}};
}

json check(const json& request) {
  json sound = json::array();
  const json* results = member(request, "results");
  for (const json& one : results && results->is_array() ? *results : json::array())
    sound.push_back(secrets::ed25519_verify(bytes_at(one, "key"), bytes_at(one, "bytes"), bytes_at(one, "signature")));
  return {{"event", "checked"}, {"sound", sound}};
}

Result<json> inbox(const json& request, const std::string& server) {
  const std::string set = text_of(request, "set");
  const auto made = make_inbox(server, set, static_cast<int>(number_at(request, "days").value_or(30)));
  if (!made) return made.error();
  return json{
      {"event", "inbox"}, {"set", set}, {"inbox", inbox_text(made.value().address)}, {"ends", made.value().ends_ms}};
}

Result<json> send(const json& request, const std::string& server) {
  const auto address = read_inbox(text_of(request, "inbox"));
  if (!address) return Error{"the link does not say where results go", "", "ask for the link again"};
  const std::string of_link = text_of(request, "server");
  const Status sent =
      send_to_inbox(of_link.empty() ? server : of_link, *address, text_of(request, "set"), text_of(request, "result"));
  if (!sent) return sent.error();
  return json{{"event", "sent"}};
}

Result<json> fetch(const json& request) {
  const auto fetched = fetch_inbox(text_of(request, "folder"), text_of(request, "set"));
  if (!fetched) return fetched.error();
  return json{{"event", "fetched"}, {"results", fetched.value().results}, {"left_out", fetched.value().left_out}};
}

Result<json> graded(const json& request, const std::string& server) {
  const auto made =
      make_graded(server, text_of(request, "set"), static_cast<int>(number_at(request, "days").value_or(30)));
  if (!made) return made.error();
  return json{
      {"event", "graded"}, {"set", made.value().set}, {"ticket", made.value().ticket}, {"ends", made.value().ends_ms}};
}

Result<json> question(const json& request, const std::string& server) {
  const std::string of_link = text_of(request, "server");
  auto bytes = graded_question(of_link.empty() ? server : of_link, text_of(request, "sealed"),
                               static_cast<int>(number_at(request, "at").value_or(0)));
  if (!bytes) return bytes.error();
  return json{{"event", "question"}, {"bytes", json::binary(std::move(bytes).value())}};
}

Result<json> done(const json& request, const std::string& server) {
  const std::string what = text_of(request, "ask");
  if (what == "sign") return sign(request);
  if (what == "check") return check(request);
  if (what == "inbox") return inbox(request, server);
  if (what == "send") return send(request, server);
  if (what == "fetch") return fetch(request);
  if (what == "graded") return graded(request, server);
  if (what == "question") return question(request, server);
  if (what != "delete_inbox") return Error{"this program does not know \"" + what + "\"", "", ""};
  const Status gone = delete_inbox(text_of(request, "folder"));
  if (!gone) return gone.error();
  return json{{"event", "inbox_deleted"}};
}

}  // namespace

PracticeKeys::PracticeKeys(std::function<void()> wake, std::function<std::string()> server)
    : wake_(std::move(wake)), server_(std::move(server)), jobs_(std::make_unique<JobThread>()) {}

PracticeKeys::~PracticeKeys() {
  jobs_.reset();
}

void PracticeKeys::ask(const json& request) {
  jobs_->add([this, request, server = server_()] {
    const auto answer = done(request, server);
    json event =
        answer ? answer.value()
               : json{{"event", "trouble"}, {"asked", text_of(request, "ask")}, {"what", answer.error().sentence()}};
    if (const json* number = member(request, "number")) event["number"] = *number;
    {
      const std::lock_guard hold(lock_);
      answers_.push_back(std::move(event));
    }
    wake_();
  });
}

std::vector<json> PracticeKeys::take() {
  const std::lock_guard hold(lock_);
  return std::exchange(answers_, {});
}

}  // namespace intercusp::share
