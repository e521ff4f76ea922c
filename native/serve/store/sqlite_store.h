#pragma once

#include <string>

#include "base/result.h"
#include "serve/store/review_store.h"

namespace intercusp::serve {

/// The store in one folder: `review.db` (SQLite, write-ahead log) and `review.lock`, which one server holds. Makes the
/// folder and the file when they are not there. Errors: no right to write, another server, a file that is none of ours,
/// damaged, or of a newer version.
Result<ReviewStore> open_sqlite_store(const std::string& folder, const StoreLimits& limits);

/// A copy of a store's present state in one file, also while a server uses it. Nothing is overwritten.
Status back_up_sqlite_store(const std::string& folder, const std::string& copy);

}  // namespace intercusp::serve
