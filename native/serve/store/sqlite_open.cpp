// Opening a store: its folder, its lock, its tables, and what can be wrong with them.
#include <cerrno>
#include <cstring>
#include <filesystem>

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include "serve/store/sqlite_parts.h"
#include "serve/store/sqlite_store.h"

namespace intercusp::serve {
namespace {

namespace fs = std::filesystem;

constexpr std::int64_t kApplication = 0x49437276;  // "ICrv", in the file's header
constexpr std::int64_t kVersion = 1;
constexpr std::uintmax_t kCheckedWhole = 256u << 20;  // a larger file is not read from end to end at every start

constexpr char kTables[] = R"(
  PRAGMA application_id = 1229156982;
  CREATE TABLE folder (row INTEGER PRIMARY KEY, name BLOB NOT NULL UNIQUE, read BLOB, write BLOB, own BLOB,
    ends INTEGER NOT NULL, last INTEGER NOT NULL DEFAULT 0, pieces INTEGER NOT NULL DEFAULT 0,
    bytes INTEGER NOT NULL DEFAULT 0, closed INTEGER NOT NULL DEFAULT 0);
  CREATE INDEX folder_ends ON folder (ends) WHERE closed = 0;
  CREATE INDEX folder_closed ON folder (closed) WHERE closed = 1;
  CREATE TABLE piece (row INTEGER PRIMARY KEY, folder INTEGER NOT NULL, name BLOB NOT NULL, sealed BLOB NOT NULL);
  CREATE UNIQUE INDEX piece_name ON piece (folder, name);
  CREATE TABLE entry (row INTEGER PRIMARY KEY, folder INTEGER NOT NULL, number INTEGER NOT NULL, id BLOB NOT NULL,
    sealed BLOB NOT NULL);
  CREATE UNIQUE INDEX entry_number ON entry (folder, number);
  CREATE UNIQUE INDEX entry_id ON entry (folder, id);
  PRAGMA user_version = 1;
)";

// Erased bytes leave pages behind that the file can give back; large pieces take fewer, larger pages. Neither can be
// chosen later.
constexpr char kFreshFile[] = "PRAGMA page_size = 16384; PRAGMA auto_vacuum = INCREMENTAL; PRAGMA journal_mode = WAL";

/// Holds the lock file until the last copy goes; the system lets go of it when the process ends, however it ends.
Result<std::shared_ptr<void>> take_lock(const fs::path& folder) {
  const std::string file = (folder / "review.lock").string();
  const int descriptor = ::open(file.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600);
  if (descriptor < 0) {
    return Error{std::string("cannot write in the store's folder: ") + std::strerror(errno), folder.string(),
                 "give this user the right to write there, or name another folder with --store"};
  }
  const std::shared_ptr<void> held(nullptr, [descriptor](void*) { ::close(descriptor); });
  if (::flock(descriptor, LOCK_EX | LOCK_NB) != 0) {
    return Error{"another server uses this store already", folder.string(), "stop it, or name another --store"};
  }
  return held;
}

Status make_private_folder(const fs::path& folder) {
  std::error_code failed;
  const bool made = fs::create_directories(folder, failed);
  if (failed) {
    return Error{"the store's folder cannot be made: " + failed.message(), folder.string(), "name another --store"};
  }
  // Its content is sealed, but who shares how much and when is nobody else's business on this machine.
  if (made) fs::permissions(folder, fs::perms::owner_all, failed);
  return Done{};
}

Error not_ours(const std::string& file) {
  return {"this file is not a store of shared cases, or it is damaged", file,
          "put a backup in its place (docs/server.md), or name another --store"};
}

Status check_tables(const Sqlite& database, const std::string& file) {
  const std::int64_t version = database.number("PRAGMA user_version", -1);
  if (version < 0) return not_ours(file);
  const bool fresh = version == 0 && database.number("SELECT count(*) FROM sqlite_master", -1) == 0;
  if (fresh) {
    if (database.run(kFreshFile) != SQLITE_OK || database.run("BEGIN IMMEDIATE") != SQLITE_OK ||
        database.run(kTables) != SQLITE_OK || database.run("COMMIT") != SQLITE_OK) {
      return Error{"the store cannot be made: " + database.words_of(sqlite3_errcode(database.handle())), file,
                   "check the free space and the rights of its folder"};
    }
    return Done{};
  }
  if (database.number("PRAGMA application_id", 0) != kApplication) return not_ours(file);
  if (version > kVersion) {
    return Error{"this store was made by a newer version of this program", file, "use that version, or a newer one"};
  }
  std::error_code failed;
  const bool small = fs::file_size(file, failed) <= kCheckedWhole && !failed;
  const std::string found = database.text(small ? "PRAGMA quick_check(1)" : "PRAGMA quick_check('folder')");
  if (found != "ok") {
    return Error{"the store is damaged: " + (found.empty() ? "it cannot be read" : found), file,
                 "put a backup in its place (docs/server.md)"};
  }
  return Done{};
}

Status set_up(const Sqlite& database, const std::string& file, std::uint64_t most_bytes) {
  const std::int64_t page = database.number("PRAGMA page_size", 4096);
  const std::string settings =
      "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA secure_delete = ON; PRAGMA temp_store = MEMORY; "
      "PRAGMA cache_size = -16384; PRAGMA journal_size_limit = 67108864; PRAGMA wal_autocheckpoint = 2048; "
      "PRAGMA trusted_schema = OFF; PRAGMA cell_size_check = ON; PRAGMA max_page_count = " +
      std::to_string(most_bytes / static_cast<std::uint64_t>(page));
  if (database.run(settings.c_str()) != SQLITE_OK || database.text("PRAGMA journal_mode") != "wal") {
    return Error{"the store cannot be written: " + database.words_of(sqlite3_errcode(database.handle())), file,
                 "check the rights of the folder and of the files in it"};
  }
  return Done{};
}

}  // namespace

Result<ReviewStore> open_sqlite_store(const std::string& folder, const StoreLimits& limits) {
  const Status made = make_private_folder(folder);
  if (!made) return made.error();
  Result<std::shared_ptr<void>> lock = take_lock(folder);
  if (!lock) return lock.error();

  const std::string file = (fs::path(folder) / "review.db").string();
  Result<Sqlite> writing = Sqlite::open(file, true);
  if (!writing) return writing.error();
  const Status checked = check_tables(writing.value(), file);
  if (!checked) return checked.error();
  const Status ready = set_up(writing.value(), file, limits.store_bytes);
  if (!ready) return ready.error();
  Result<Sqlite> reading = Sqlite::open(file, false);
  if (!reading) return reading.error();

  Result<std::unique_ptr<StoreWriting>> writer = make_sqlite_writing(std::move(writing).value(), limits);
  if (!writer) return writer.error();
  Result<std::unique_ptr<StoreReading>> reader = make_sqlite_reading(std::move(reading).value());
  if (!reader) return reader.error();
  const Stored<Done> scrubbed = writer.value()->scrub();  // what a server that was killed left in the log
  if (!scrubbed.ok()) return Error{"the store cannot be written: " + scrubbed.words, file, "check the free space"};
  return ReviewStore{std::move(reader).value(), std::move(writer).value(), std::move(lock).value()};
}

Status back_up_sqlite_store(const std::string& folder, const std::string& copy) {
  const std::string file = (fs::path(folder) / "review.db").string();
  std::error_code failed;
  if (!fs::is_regular_file(file, failed))
    return Error{"there is no store here", folder, "name its folder with --store"};
  if (fs::exists(copy, failed)) return Error{"this file exists already", copy, "name another one"};
  const Result<Sqlite> database = Sqlite::open(file, false);
  if (!database) return database.error();
  int wrong = SQLITE_OK;
  const Statement statement(database.value().handle(), "VACUUM INTO ?", wrong);
  if (wrong != SQLITE_OK) return not_ours(file);
  Statement::Use use = statement.use();
  use.bind_text(copy);
  if (use.run() != SQLITE_DONE) {
    const std::string why = database.value().words_of(use.code());
    return Error{"the copy was not made: " + why, copy, "check the free space and the rights of its folder"};
  }
  return Done{};
}

}  // namespace intercusp::serve
