// Answers requests below /review/ from the store. docs/review-protocol.md says what each of them is.
#pragma once

#include <functional>
#include <string>

#include "serve/graded_sets.h"
#include "serve/http_answer.h"
#include "serve/rooms.h"
#include "serve/store/store_desk.h"
#include "serve/wire/request.h"

namespace intercusp::serve {

/// Milliseconds since 1970 by this machine's clock.
std::int64_t wall_clock_ms();

/// An answer in the manner of the review server: JSON, never kept by anybody on the way.
HttpAnswer json_answer(unsigned status, const std::string& json);
/// `{"error": words}`
HttpAnswer refusal_answer(unsigned status, const std::string& words);
HttpAnswer unknown_answer();

class ReviewApi {
 public:
  using Reply = std::function<void(HttpAnswer)>;

  ReviewApi(StoreDesk& desk, Fanout& fanout, GradedSets& graded, int longest_days)
      : desk_(desk), fanout_(fanout), graded_(graded), longest_days_(longest_days) {}

  /// Before a body is read: answers at once what needs none or cannot be done, and calls `go_on` where a body may come.
  void admit(const ReviewRequest& request, const Reply& reply, const std::function<void()>& go_on);
  /// A request that was admitted, with its body.
  void answer(const ReviewRequest& request, std::string body, const Reply& reply);

  /// What a room must know of somebody: whether the read token opens the folder, and whether the write token does.
  struct Entrant {
    Refusal refusal = Refusal::none;
    FolderLook look;
    bool may_change = false;
  };
  /// False when the store has too much to do.
  bool look(const FolderName& folder, const Token& read, const std::optional<Token>& write,
            std::function<void(const Entrant&)> then);
  Fanout& fanout() { return fanout_; }

 private:
  Ask ask(const ReviewRequest& request, Power power) const;
  void make_folder(const std::string& body, const Reply& reply);
  void look_at(const ReviewRequest& request, const Reply& reply);
  void change(const ReviewRequest& request, const std::string& body, const Reply& reply);
  void erase(const ReviewRequest& request, const Reply& reply);
  void erase_rest(const FolderName& folder, const Reply& reply);
  void has_piece(const ReviewRequest& request, const Reply& reply);
  void get_piece(const ReviewRequest& request, const Reply& reply);
  void put_piece(const ReviewRequest& request, std::string body, const Reply& reply);
  void append(const ReviewRequest& request, std::string body, const Reply& reply);
  void read_log(const ReviewRequest& request, const Reply& reply);
  void make_graded(const std::string& body, const Reply& reply);
  void give_question(const std::string& body, const Reply& reply);
  void more_log(const Ask& asked, const std::shared_ptr<std::uint64_t>& after, const HttpAnswer::TakePart& take);

  StoreDesk& desk_;
  Fanout& fanout_;
  GradedSets& graded_;
  int longest_days_;
};

/// Says on standard error, at most once a minute, that the store cannot do its work.
void report_store_trouble(Refusal refusal, const std::string& words);

}  // namespace intercusp::serve
