// The two halves of the SQLite store, each on a database handle of its own so that reads do not wait for the disk.
#pragma once

#include "serve/store/review_store.h"
#include "serve/store/sqlite_handle.h"

namespace intercusp::serve {

Result<std::unique_ptr<StoreReading>> make_sqlite_reading(Sqlite database);
Result<std::unique_ptr<StoreWriting>> make_sqlite_writing(Sqlite database, const StoreLimits& limits);

/// What an Ask found: the folder's row and counts.
struct FoundFolder {
  std::int64_t row = 0;
  FolderLook look;
};

/// Finds folders for whom may. Both halves have one.
class FolderDoor {
 public:
  FolderDoor() = default;
  FolderDoor(const Sqlite& database, int& failed);
  /// The same work and the same answer whether the folder is unknown, ended, closed, revoked, or the token another.
  Stored<FoundFolder> open(const Sqlite& database, const Ask& ask) const;

 private:
  Statement find_;
};

}  // namespace intercusp::serve
