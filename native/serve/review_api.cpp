#include "serve/review_api.h"

#include <chrono>
#include <iostream>

#include <nlohmann/json.hpp>

#include "base/base64.h"
#include "serve/wire/frames.h"
#include "serve/words.h"

namespace intercusp::serve {
namespace {

constexpr std::int64_t kMsOfDay = 86400000;
constexpr std::size_t kLogPartBytes = 512u << 10;

HttpAnswer binary_answer(std::string bytes) {
  HttpAnswer answer;
  answer.text = std::move(bytes);
  answer.headers = {{"Content-Type", "application/octet-stream"}, {"Cache-Control", "no-store"}};
  add_shared_headers(answer);
  return answer;
}

HttpAnswer empty_answer(unsigned status) {
  HttpAnswer answer = binary_answer({});
  answer.status = status;
  answer.headers.erase(answer.headers.begin());
  answer.sends_body = answer.has_length = false;
  return answer;
}

HttpAnswer answer_to(Refusal refusal, const std::string& words) {
  switch (refusal) {
    case Refusal::unknown:
      return unknown_answer();
    case Refusal::no_piece:
      return refusal_answer(404, "This piece is not here.");
    case Refusal::folder_full:
      return refusal_answer(507, "This shared case has as much as one may hold. Share it anew with less.");
    case Refusal::no_room:
      report_store_trouble(refusal, words);
      return refusal_answer(
          507, "The server has no room left, or its disk takes no more. Nothing was kept of this; tell who runs it.");
    case Refusal::damaged:
      report_store_trouble(refusal, words);
      return refusal_answer(500, "The server's store is damaged. Nothing was kept of this; tell who runs it.");
    default:
      report_store_trouble(refusal, words);
      return refusal_answer(500, "The server could not use its store. Nothing was kept of this; tell who runs it.");
  }
}

HttpAnswer busy_answer() {
  HttpAnswer answer = refusal_answer(503, kBusyWords);
  answer.headers.emplace_back("Retry-After", "1");
  return answer;
}

std::string name_of(const FolderName& folder) {
  return base64url(std::string(bytes_of(folder)));
}

HttpAnswer wrong_method() {
  HttpAnswer answer = refusal_answer(405, "This address does not take this method (docs/review-protocol.md).");
  answer.headers.emplace_back("Allow", "GET, HEAD, POST, PUT, PATCH, DELETE");
  return answer;
}

Power power_of(ReviewCall call) {
  switch (call) {
    case ReviewCall::change:
    case ReviewCall::erase:
      return Power::own;
    case ReviewCall::put_piece:
    case ReviewCall::append:
      return Power::write;
    default:
      return Power::read;
  }
}

}  // namespace

std::int64_t wall_clock_ms() {
  const auto since = std::chrono::system_clock::now().time_since_epoch();
  return std::chrono::duration_cast<std::chrono::milliseconds>(since).count();
}

HttpAnswer json_answer(unsigned status, const std::string& json) {
  HttpAnswer answer;
  answer.status = status;
  answer.text = json + "\n";
  answer.headers = {{"Content-Type", "application/json"}, {"Cache-Control", "no-store"}};
  add_shared_headers(answer);
  return answer;
}

HttpAnswer refusal_answer(unsigned status, const std::string& words) {
  return json_answer(status, nlohmann::json{{"error", words}}.dump());
}

HttpAnswer unknown_answer() {
  HttpAnswer answer = refusal_answer(404, kUnknownWords);
  answer.is_miss = true;
  return answer;
}

void report_store_trouble(Refusal refusal, const std::string& words) {
  using Clock = std::chrono::steady_clock;
  static Clock::time_point last;  // of the network's thread alone
  const auto now = Clock::now();
  if (last != Clock::time_point() && now - last < std::chrono::minutes(1)) return;
  last = now;
  const char* what = refusal == Refusal::no_room   ? "the store has no room left, or its disk takes no more"
                     : refusal == Refusal::damaged ? "the store is damaged: put a backup in its place (docs/server.md)"
                                                   : "the store could not be used";
  std::cerr << "intercusp serve: " << what << (words.empty() ? "" : ": ") << words << std::endl;
}

Ask ReviewApi::ask(const ReviewRequest& request, Power power) const {
  return {request.folder, power, request.token.value_or(Token{}), wall_clock_ms()};
}

void ReviewApi::admit(const ReviewRequest& request, const Reply& reply, const std::function<void()>& go_on) {
  switch (request.call) {
    case ReviewCall::no_such_address:
      return reply(refusal_answer(404, "There is nothing at this address."));
    case ReviewCall::wrong_method:
      return reply(wrong_method());
    case ReviewCall::malformed:
      return reply(unknown_answer());
    case ReviewCall::room:
      return reply(refusal_answer(426, "A room is entered by WebSocket."));
    case ReviewCall::make_folder:
    case ReviewCall::make_graded:
    case ReviewCall::graded_question:
      return go_on();
    default:
      break;
  }
  if (!request.token) return reply(unknown_answer());
  if (most_body_bytes(request.call) == 0) return go_on();
  const auto checked = [reply, go_on](const Stored<Done>& allowed) {
    if (allowed.ok()) return go_on();
    reply(answer_to(allowed.refusal, allowed.words));
  };
  const auto work = [asked = ask(request, power_of(request.call))](StoreReading& store) {
    return store.allowed(asked);
  };
  if (!desk_.read<Done>(work, checked)) reply(busy_answer());
}

void ReviewApi::answer(const ReviewRequest& request, std::string body, const Reply& reply) {
  switch (request.call) {
    case ReviewCall::make_folder:
      return make_folder(body, reply);
    case ReviewCall::look:
      return look_at(request, reply);
    case ReviewCall::change:
      return change(request, body, reply);
    case ReviewCall::erase:
      return erase(request, reply);
    case ReviewCall::has_piece:
      return has_piece(request, reply);
    case ReviewCall::get_piece:
      return get_piece(request, reply);
    case ReviewCall::put_piece:
      return put_piece(request, std::move(body), reply);
    case ReviewCall::append:
      return append(request, std::move(body), reply);
    case ReviewCall::read_log:
      return read_log(request, reply);
    case ReviewCall::make_graded:
      return make_graded(body, reply);
    case ReviewCall::graded_question:
      return give_question(body, reply);
    default:
      return reply(unknown_answer());
  }
}

void ReviewApi::make_folder(const std::string& body, const Reply& reply) {
  const Result<FolderWish> wish = read_folder_wish(body, longest_days_);
  if (!wish) return reply(refusal_answer(400, wish.error().sentence()));
  const std::int64_t ends = wall_clock_ms() + wish.value().days * kMsOfDay;
  const auto made = [reply, ends](const Stored<FolderName>& folder) {
    if (!folder.ok()) return reply(answer_to(folder.refusal, folder.words));
    reply(json_answer(201, nlohmann::json{{"folder", name_of(folder.value)}, {"ends", ends}}.dump()));
  };
  const auto work = [wish = wish.value(), ends](StoreWriting& store) { return store.make_folder(wish, ends); };
  if (!desk_.write<FolderName>(body.size(), work, made)) reply(busy_answer());
}

void ReviewApi::look_at(const ReviewRequest& request, const Reply& reply) {
  const auto looked = [reply](const Stored<FolderLook>& look) {
    if (!look.ok()) return reply(answer_to(look.refusal, look.words));
    const nlohmann::json json{{"ends", look.value.ends_ms},
                              {"last", look.value.last},
                              {"pieces", look.value.pieces},
                              {"bytes", look.value.bytes}};
    reply(json_answer(200, json.dump()));
  };
  const auto work = [asked = ask(request, Power::read)](StoreReading& store) { return store.look(asked); };
  if (!desk_.read<FolderLook>(work, looked)) reply(busy_answer());
}

void ReviewApi::change(const ReviewRequest& request, const std::string& body, const Reply& reply) {
  const Result<FolderChange> wanted = read_folder_change(body, longest_days_);
  if (!wanted) return reply(refusal_answer(400, wanted.error().sentence()));
  const auto changed = [this, reply, folder = request.folder,
                        wanted = wanted.value()](const Stored<std::int64_t>& ends) {
    if (!ends.ok()) return reply(answer_to(ends.refusal, ends.words));
    fanout_.set_end(folder, ends.value);
    if (wanted.read) {
      fanout_.end(folder, Fanout::Who::everybody);
    } else if (wanted.write) {
      fanout_.end(folder, Fanout::Who::writers);
    }
    reply(json_answer(200, nlohmann::json{{"ends", ends.value}}.dump()));
  };
  const auto work = [asked = ask(request, Power::own), wanted = wanted.value()](StoreWriting& store) {
    return store.change(asked, wanted);
  };
  if (!desk_.write<std::int64_t>(body.size(), work, changed)) reply(busy_answer());
}

void ReviewApi::erase(const ReviewRequest& request, const Reply& reply) {
  const auto closed = [this, reply, folder = request.folder](const Stored<Done>& done) {
    if (!done.ok()) return reply(answer_to(done.refusal, done.words));
    fanout_.end(folder, Fanout::Who::everybody);
    erase_rest(folder, reply);
  };
  const auto work = [asked = ask(request, Power::own)](StoreWriting& store) { return store.close_folder(asked); };
  if (!desk_.write<Done>(0, work, closed)) reply(busy_answer());
}

/// A large case goes in steps, between which others' writes have their turn.
void ReviewApi::erase_rest(const FolderName& folder, const Reply& reply) {
  const HttpAnswer later = refusal_answer(
      500, "Nobody can open the case any more, but its bytes could not be erased yet; the server will try again.");
  const auto scrubbed = [reply, later](const Stored<Done>& done) {
    if (!done.ok()) report_store_trouble(done.refusal, done.words);
    reply(done.ok() ? empty_answer(204) : later);
  };
  const auto erased = [this, folder, reply, later, scrubbed](const Stored<bool>& all) {
    if (!all.ok()) {
      report_store_trouble(all.refusal, all.words);
      return reply(later);
    }
    if (!all.value) return erase_rest(folder, reply);
    desk_.scrub(scrubbed);
  };
  const auto work = [folder](StoreWriting& store) { return store.erase_some(&folder); };
  if (!desk_.write<bool>(0, work, erased)) reply(later);
}

void ReviewApi::has_piece(const ReviewRequest& request, const Reply& reply) {
  const auto found = [reply](const Stored<Done>& has) {
    HttpAnswer answer = has.ok() ? empty_answer(200) : answer_to(has.refusal, has.words);
    answer.sends_body = false;
    reply(std::move(answer));
  };
  const auto work = [asked = ask(request, Power::read), name = request.piece](StoreReading& store) {
    return store.has_piece(asked, name);
  };
  if (!desk_.read<Done>(work, found)) reply(busy_answer());
}

void ReviewApi::get_piece(const ReviewRequest& request, const Reply& reply) {
  const auto got = [reply](Stored<std::string> piece) {
    reply(piece.ok() ? binary_answer(std::move(piece.value)) : answer_to(piece.refusal, piece.words));
  };
  const auto work = [asked = ask(request, Power::read), name = request.piece](StoreReading& store) {
    return store.piece(asked, name);
  };
  if (!desk_.read<std::string>(work, got)) reply(busy_answer());
}

void ReviewApi::put_piece(const ReviewRequest& request, std::string body, const Reply& reply) {
  if (!looks_sealed(body, Purpose::piece)) return reply(refusal_answer(400, "This is no sealed piece."));
  const auto put = [reply](const Stored<bool>& is_new) {
    if (!is_new.ok()) return reply(answer_to(is_new.refusal, is_new.words));
    reply(json_answer(is_new.value ? 201 : 200, "{}"));
  };
  const auto sealed = std::make_shared<const std::string>(std::move(body));
  const auto work = [asked = ask(request, Power::write), name = request.piece, sealed](StoreWriting& store) {
    return store.put_piece(asked, name, *sealed);
  };
  if (!desk_.write<bool>(sealed->size(), work, put)) reply(busy_answer());
}

void ReviewApi::append(const ReviewRequest& request, std::string body, const Reply& reply) {
  if (!request.entry) return reply(refusal_answer(400, "The header Entry must hold the entry's id."));
  if (!looks_sealed(body, Purpose::entry) && !looks_sealed(body, Purpose::result))
    return reply(refusal_answer(400, "This is no sealed entry."));
  const auto sealed = std::make_shared<const std::string>(std::move(body));
  const auto appended = [this, reply, folder = request.folder, id = *request.entry,
                         sealed](const Stored<Appended>& entry) {
    if (!entry.ok()) return reply(answer_to(entry.refusal, entry.words));
    if (entry.value.is_new) fanout_.entry(folder, id, entry.value.number, *sealed);
    reply(json_answer(entry.value.is_new ? 201 : 200, nlohmann::json{{"number", entry.value.number}}.dump()));
  };
  const auto work = [asked = ask(request, Power::write), id = *request.entry, sealed](StoreWriting& store) {
    return store.append(asked, id, *sealed);
  };
  if (!desk_.write<Appended>(sealed->size(), work, appended)) reply(busy_answer());
}

void ReviewApi::read_log(const ReviewRequest& request, const Reply& reply) {
  const Ask asked = ask(request, Power::read);
  const auto got = [this, asked, reply](Stored<LogPart> part) {
    if (!part.ok()) return reply(answer_to(part.refusal, part.words));
    const bool maybe_more = part.value.frames.size() >= kLogPartBytes;
    HttpAnswer answer = binary_answer(std::move(part.value.frames));
    if (maybe_more) {
      const auto after = std::make_shared<std::uint64_t>(part.value.last);
      answer.more = [this, asked, after](const HttpAnswer::TakePart& take) { more_log(asked, after, take); };
    }
    reply(std::move(answer));
  };
  const auto work = [asked, after = request.after](StoreReading& store) {
    return store.log(asked, after, kLogPartBytes);
  };
  if (!desk_.read<LogPart>(work, got)) reply(busy_answer());
}

void ReviewApi::more_log(const Ask& asked, const std::shared_ptr<std::uint64_t>& after,
                         const HttpAnswer::TakePart& take) {
  const auto got = [after, take](Stored<LogPart> part) {
    if (!part.ok()) return take(std::nullopt);
    *after = part.value.last;
    take(std::move(part.value.frames));
  };
  const auto work = [asked, from = *after](StoreReading& store) { return store.log(asked, from, kLogPartBytes); };
  if (!desk_.read<LogPart>(work, got)) take(std::nullopt);
}

void ReviewApi::make_graded(const std::string& body, const Reply& reply) {
  const Result<GradedWish> wish = read_graded_wish(body, longest_days_);
  if (!wish) return reply(refusal_answer(400, wish.error().sentence()));
  const std::int64_t ends = wall_clock_ms() + wish.value().days * kMsOfDay;
  const auto made = graded_.make(wish.value().set, ends);
  if (!made) return reply(refusal_answer(400, made.error().sentence()));
  reply(json_answer(201,
                    nlohmann::json{{"set", made.value().set}, {"ticket", made.value().ticket}, {"ends", ends}}.dump()));
}

void ReviewApi::give_question(const std::string& body, const Reply& reply) {
  const Result<GradedAsk> ask = read_graded_ask(body);
  if (!ask) return reply(refusal_answer(400, ask.error().sentence()));
  const auto wanted = graded_.find(ask.value().sealed, ask.value().at, wall_clock_ms());
  if (!wanted) {
    HttpAnswer unknown = refusal_answer(404, kUnknownSetWords);
    unknown.is_miss = true;
    return reply(std::move(unknown));
  }
  const auto given = [reply](const Result<GradedSets::Bytes>& bytes) {
    reply(bytes ? binary_answer(*bytes.value()) : refusal_answer(500, bytes.error().sentence()));
  };
  if (!graded_.give(*wanted, given)) reply(busy_answer());
}

bool ReviewApi::look(const FolderName& folder, const Token& read, const std::optional<Token>& write,
                     std::function<void(const Entrant&)> then) {
  const std::int64_t now = wall_clock_ms();
  const auto work = [folder, read, write, now](StoreReading& store) {
    Stored<Entrant> entrant;
    const Stored<FolderLook> look = store.look({folder, Power::read, read, now});
    entrant.value = {look.refusal, look.value, false};
    entrant.words = look.words;
    if (look.ok() && write) entrant.value.may_change = store.allowed({folder, Power::write, *write, now}).ok();
    return entrant;
  };
  return desk_.read<Entrant>(work, [then = std::move(then)](const Stored<Entrant>& entrant) {
    const Refusal refusal = entrant.value.refusal;
    if (refusal != Refusal::none && refusal != Refusal::unknown) report_store_trouble(refusal, entrant.words);
    then(entrant.value);
  });
}

}  // namespace intercusp::serve
