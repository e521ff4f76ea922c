// What a request below /review/ asks for, read from its method, address and two headers. Knows no sockets.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "base/result.h"
#include "serve/wire/ids.h"

namespace intercusp::serve {

enum class ReviewCall {
  make_folder,
  look,
  change,
  erase,
  has_piece,
  get_piece,
  put_piece,
  append,
  read_log,
  room,
  make_graded,      ///< a graded set of practice
  graded_question,  ///< a question of one, by its ticket
  no_such_address,  ///< nothing of ours: 404 that says so
  wrong_method,
  malformed  ///< names a folder or a piece in a way that cannot be one: answered like an unknown one
};

struct ReviewRequest {
  ReviewCall call = ReviewCall::no_such_address;
  FolderName folder{};
  PieceName piece{};
  std::uint64_t after = 0;       ///< read_log
  std::optional<Token> token;    ///< of `Authorization: Bearer`
  std::optional<EntryId> entry;  ///< of `Entry:`
};

/// Whether an address is for the review server at all: "/review" and everything below it.
bool is_review_address(std::string_view target);

/// `target` in origin form, as sent. No part of an address is ever decoded from %-escapes: no name of ours needs one.
ReviewRequest read_review_request(std::string_view method, std::string_view target, std::string_view authorization,
                                  std::string_view entry);

/// Most bytes a body may have for this call; 0 where none belongs.
std::size_t most_body_bytes(ReviewCall call);

struct FolderWish {
  TokenHash read{}, write{}, own{};
  int days = 0;
};

/// Body of POST /review/folders.
Result<FolderWish> read_folder_wish(const std::string& json, int longest_days);

/// Body of PATCH: what is absent stays; a token hash that is null is revoked.
struct FolderChange {
  std::optional<int> days;
  std::optional<std::optional<TokenHash>> read, write;
};

Result<FolderChange> read_folder_change(const std::string& json, int longest_days);

/// Body of POST /review/graded. The code is not read here.
struct GradedWish {
  std::string set;
  int days = 0;
};
Result<GradedWish> read_graded_wish(const std::string& json, int longest_days);

/// Body of POST /review/graded/question. What is sealed is not opened here.
struct GradedAsk {
  std::string sealed;
  int at = 0;  ///< from 0
};
Result<GradedAsk> read_graded_ask(const std::string& json);

}  // namespace intercusp::serve
