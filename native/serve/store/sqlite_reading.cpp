#include "serve/store/sqlite_parts.h"
#include "serve/wire/frames.h"

namespace intercusp::serve {
namespace {

class SqliteReading : public StoreReading {
 public:
  SqliteReading(Sqlite database, int& failed)
      : database_(std::move(database)),
        door_(database_, failed),
        has_piece_(database_.handle(), "SELECT 1 FROM piece WHERE folder = ? AND name = ?", failed),
        piece_(database_.handle(), "SELECT sealed FROM piece WHERE folder = ? AND name = ?", failed),
        log_(database_.handle(), "SELECT number, id, sealed FROM entry WHERE folder = ? AND number > ? ORDER BY number",
             failed) {}

  Stored<Done> allowed(const Ask& ask) override {
    const Stored<FoundFolder> folder = door_.open(database_, ask);
    return {folder.refusal, Done{}, folder.words};
  }

  Stored<FolderLook> look(const Ask& ask) override {
    const Stored<FoundFolder> folder = door_.open(database_, ask);
    return {folder.refusal, folder.value.look, folder.words};
  }

  Stored<Done> has_piece(const Ask& ask, const PieceName& name) override {
    const Stored<FoundFolder> folder = door_.open(database_, ask);
    if (!folder.ok()) return Stored<Done>::refused(folder.refusal, folder.words);
    Statement::Use use = has_piece_.use();
    if (use.bind(folder.value.row).bind(bytes_of(name)).row()) return {};
    if (use.code() != SQLITE_DONE) return database_.refused<Done>(use.code());
    return Stored<Done>::refused(Refusal::no_piece);
  }

  Stored<std::string> piece(const Ask& ask, const PieceName& name) override {
    const Stored<FoundFolder> folder = door_.open(database_, ask);
    if (!folder.ok()) return Stored<std::string>::refused(folder.refusal, folder.words);
    Statement::Use use = piece_.use();
    if (use.bind(folder.value.row).bind(bytes_of(name)).row()) return {Refusal::none, std::string(use.blob(0)), {}};
    if (use.code() != SQLITE_DONE) return database_.refused<std::string>(use.code());
    return Stored<std::string>::refused(Refusal::no_piece);
  }

  Stored<LogPart> log(const Ask& ask, std::uint64_t after, std::size_t most_bytes) override {
    const Stored<FoundFolder> folder = door_.open(database_, ask);
    if (!folder.ok()) return Stored<LogPart>::refused(folder.refusal, folder.words);
    LogPart part;
    Statement::Use use = log_.use();
    use.bind(folder.value.row).bind(static_cast<std::int64_t>(after));
    while (part.frames.size() < most_bytes && use.row()) {
      part.last = static_cast<std::uint64_t>(use.number(0));
      append_log_frame(part.frames, part.last, array_from<EntryId>(use.blob(1).data()), use.blob(2));
    }
    const bool ended_well = use.code() == SQLITE_ROW || use.code() == SQLITE_DONE;
    if (!ended_well) return database_.refused<LogPart>(use.code());
    return {Refusal::none, std::move(part), {}};
  }

 private:
  Sqlite database_;
  FolderDoor door_;
  Statement has_piece_, piece_, log_;
};

}  // namespace

Result<std::unique_ptr<StoreReading>> make_sqlite_reading(Sqlite database) {
  database.run("PRAGMA query_only = ON; PRAGMA cache_size = -16384; PRAGMA trusted_schema = OFF");
  int failed = SQLITE_OK;
  auto reading = std::make_unique<SqliteReading>(std::move(database), failed);
  if (failed != SQLITE_OK) return Error{std::string("the store cannot be read: ") + sqlite3_errstr(failed), {}, {}};
  return std::unique_ptr<StoreReading>(std::move(reading));
}

}  // namespace intercusp::serve
