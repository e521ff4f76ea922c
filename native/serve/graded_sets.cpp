#include "serve/graded_sets.h"

#include <algorithm>
#include <filesystem>

#include <sys/resource.h>

#include <boost/asio/post.hpp>

#include <nlohmann/json.hpp>

#include "base/base64.h"
#include "base/json_read.h"
#include "practice/graded_set.h"
#include "practice/shown_question.h"
#include "review/crypto.h"
#include "share/secret_file.h"

namespace intercusp::serve {
namespace {

namespace fs = std::filesystem;

const char kSealedFor[] = "intercusp graded 1";
constexpr std::size_t kMostWaitingQuestions = 64, kMostKeptBytes = 96u << 20;
constexpr std::uint32_t kQuestionTriangles = 40000;
constexpr int kPolite = 5;

/// "NAME/NUMBER"
std::string name_of(const GradedSets::Wanted& wanted) {
  return wanted.set + "/" + std::to_string(wanted.number);
}

Result<GradedSets::Bytes> made_question(const GradedSets::Wanted& wanted) {
  const auto made = make_question(wanted.spec);
  if (!made) return made.error();
  const auto bytes = write_shown_question(made.value(), wanted.number, kQuestionTriangles);
  if (!bytes) return bytes.error();
  return GradedSets::Bytes(std::make_shared<const std::string>(bytes.value().begin(), bytes.value().end()));
}

}  // namespace

Result<std::string> graded_key(const std::string& store_folder) {
  const fs::path file = fs::path(store_folder) / "graded.key";
  std::error_code failed;
  if (!fs::exists(file, failed)) {
    const auto fresh = secrets::random_bytes(secrets::kKeyBytes);
    if (!fresh) return fresh.error();
    const Status written = share::write_secret(file, fresh.value());
    if (!written) return written.error();
  }
  auto key = share::read_secret(file);
  if (!key) return key.error();
  if (key.value().size() != secrets::kKeyBytes)
    return Error{"this file holds no key of graded sets", file.string(), "put the backup of it in its place"};
  return key;
}

GradedSets::GradedSets(std::string key, boost::asio::io_context& home)
    : key_(std::move(key)), home_(home), worker_([this] { work_loop(); }) {}

GradedSets::~GradedSets() {
  {
    const std::lock_guard<std::mutex> held(mutex_);
    ending_ = true;
  }
  something_to_do_.notify_all();
  worker_.join();
}

Result<GradedSets::Made> GradedSets::make(const std::string& set_code_text, std::int64_t ends_ms) const {
  auto set = read_set_code(set_code_text);
  if (!set) return set.error();
  auto secret = secrets::random_bytes(secrets::kKeyBytes);
  const auto nonce = secrets::random_bytes(secrets::kNonceBytes);
  if (!secret || !nonce) return Error{"the system gives no random numbers", "", ""};
  set.value().secret = std::move(secret).value();
  const std::string code = set_code(set.value());
  const std::string plain = nlohmann::json{{"set", code}, {"ends", ends_ms}}.dump();
  const auto sealed = secrets::aes_gcm_seal(key_, nonce.value(), kSealedFor, plain);
  if (!sealed) return sealed.error();
  return Made{code, ticket_code(ticket_of(set.value(), base64url(nonce.value() + sealed.value())))};
}

std::optional<GradedSets::Wanted> GradedSets::find(const std::string& sealed, int number, std::int64_t now_ms) const {
  const auto bytes = from_base64url(sealed);
  if (!bytes || bytes->size() <= secrets::kNonceBytes) return std::nullopt;
  const auto plain = secrets::aes_gcm_open(key_, bytes->substr(0, secrets::kNonceBytes), kSealedFor,
                                           bytes->substr(secrets::kNonceBytes));
  if (!plain) return std::nullopt;
  const auto document = parse_json(plain.value().data(), plain.value().size());
  if (!document || number_at(document.value(), "ends").value_or(0) < static_cast<double>(now_ms)) return std::nullopt;
  const auto set = read_set_code(text_at(document.value(), "set").value_or(""));
  if (!set || number < 0 || number >= set.value().count) return std::nullopt;
  return Wanted{questions_of(set.value())[static_cast<std::size_t>(number)], number, graded_name(set.value())};
}

bool GradedSets::give(const Wanted& wanted, Then then) {
  const std::string name = name_of(wanted);
  const auto kept = std::find_if(kept_.begin(), kept_.end(), [&name](const auto& one) { return one.first == name; });
  if (kept != kept_.end()) {
    kept_.splice(kept_.begin(), kept_, kept);
    then(kept_.front().second);
    return true;
  }
  if (const auto under_way = waiting_.find(name); under_way != waiting_.end()) {
    under_way->second.push_back(std::move(then));
    return true;
  }
  if (waiting_.size() >= kMostWaitingQuestions) return false;
  waiting_[name].push_back(std::move(then));
  {
    const std::lock_guard<std::mutex> held(mutex_);
    jobs_.push_back({name, wanted});
  }
  something_to_do_.notify_one();
  return true;
}

void GradedSets::keep(const std::string& name, const Bytes& bytes) {
  kept_.emplace_front(name, bytes);
  kept_bytes_ += bytes->size();
  while (kept_bytes_ > kMostKeptBytes && kept_.size() > 1) {
    kept_bytes_ -= kept_.back().second->size();
    kept_.pop_back();
  }
}

void GradedSets::take_made(const std::string& name, const Result<Bytes>& made) {
  const std::vector<Then> asking = std::move(waiting_[name]);
  waiting_.erase(name);
  if (made) keep(name, made.value());
  for (const Then& then : asking) then(made);
}

void GradedSets::work_loop() {
  ::setpriority(PRIO_PROCESS, 0, kPolite);  // of this thread alone: shared cases come first
  for (;;) {
    Job job;
    {
      std::unique_lock<std::mutex> held(mutex_);
      something_to_do_.wait(held, [this] { return ending_ || !jobs_.empty(); });
      if (ending_) return;
      job = std::move(jobs_.front());
      jobs_.pop_front();
    }
    const auto made = std::make_shared<const Result<Bytes>>(made_question(job.wanted));
    boost::asio::post(home_, [this, name = std::move(job.name), made] { take_made(name, *made); });
  }
}

}  // namespace intercusp::serve
