#include <openssl/rand.h>

#include "serve/store/sqlite_parts.h"

namespace intercusp::serve {
namespace {

constexpr std::int64_t kDayMs = 86400000;
constexpr std::uint64_t kEntryOverhead = 64;  // what a row takes beside its bytes, roughly
constexpr int kPiecesAtOnce = 8, kEntriesAtOnce = 256;

class SqliteWriting : public StoreWriting {
 public:
  SqliteWriting(Sqlite database, const StoreLimits& limits, int& failed);

  Stored<Done> begin() override { return done(database_.run("BEGIN IMMEDIATE")); }
  Stored<Done> commit() override { return done(database_.run("COMMIT")); }
  void roll_back() override {
    if (sqlite3_get_autocommit(database_.handle()) == 0) database_.run("ROLLBACK");
  }

  Stored<FolderName> make_folder(const FolderWish& wish, std::int64_t ends_ms) override;
  Stored<std::int64_t> change(const Ask& ask, const FolderChange& change) override;
  Stored<Done> close_folder(const Ask& ask) override;
  Stored<bool> put_piece(const Ask& ask, const PieceName& name, std::string_view sealed) override;
  Stored<Appended> append(const Ask& ask, const EntryId& id, std::string_view sealed) override;
  Stored<std::vector<FolderName>> ended(std::int64_t now_ms) override;
  Stored<bool> close_ended(const FolderName& folder, std::int64_t now_ms) override;
  Stored<bool> erase_some(const FolderName* only) override;
  Stored<Done> scrub() override;

 private:
  Stored<Done> done(int code) const { return {database_.refusal_of(code), Done{}, database_.words_of(code)}; }
  Stored<Done> set_token(const Statement& statement, std::int64_t row, const std::optional<TokenHash>& hash);
  /// Adds to a folder's counts; refuses what would make it larger than one may be.
  Stored<Done> count_in(const FoundFolder& folder, std::uint64_t bytes, int pieces, std::uint64_t last);
  /// Row of a closed folder: that one, or any. 0 when there is none.
  Stored<std::int64_t> closed_row(const FolderName* only);

  Sqlite database_;
  StoreLimits limits_;
  FolderDoor door_;
  Statement make_, prolong_, set_read_, set_write_, close_, count_, has_piece_, put_piece_, number_of_, append_;
  Statement ended_, close_ended_, closed_any_, closed_one_, erase_pieces_, erase_entries_, erase_folder_;
};

SqliteWriting::SqliteWriting(Sqlite database, const StoreLimits& limits, int& failed)
    : database_(std::move(database)), limits_(limits), door_(database_, failed) {
  const auto prepare = [&](const char* sql) { return Statement(database_.handle(), sql, failed); };
  make_ = prepare("INSERT INTO folder (name, read, write, own, ends) VALUES (?, ?, ?, ?, ?)");
  prolong_ = prepare("UPDATE folder SET ends = ? WHERE row = ?");
  set_read_ = prepare("UPDATE folder SET read = ? WHERE row = ?");
  set_write_ = prepare("UPDATE folder SET write = ? WHERE row = ?");
  close_ = prepare("UPDATE folder SET closed = 1, read = NULL, write = NULL, own = NULL WHERE row = ?");
  count_ = prepare("UPDATE folder SET bytes = bytes + ?, pieces = pieces + ?, last = ? WHERE row = ?");
  has_piece_ = prepare("SELECT 1 FROM piece WHERE folder = ? AND name = ?");
  put_piece_ = prepare("INSERT INTO piece (folder, name, sealed) VALUES (?, ?, ?)");
  number_of_ = prepare("SELECT number FROM entry WHERE folder = ? AND id = ?");
  append_ = prepare("INSERT INTO entry (folder, number, id, sealed) VALUES (?, ?, ?, ?)");
  ended_ = prepare("SELECT name FROM folder WHERE closed = 0 AND ends <= ? ORDER BY ends LIMIT 1000");
  close_ended_ = prepare(
      "UPDATE folder SET closed = 1, read = NULL, write = NULL, own = NULL WHERE name = ? AND closed = 0 AND ends <= "
      "?");
  closed_any_ = prepare("SELECT row FROM folder WHERE closed = 1 LIMIT 1");
  closed_one_ = prepare("SELECT row FROM folder WHERE closed = 1 AND name = ?");
  erase_pieces_ =
      prepare("DELETE FROM piece WHERE row IN (SELECT row FROM piece WHERE folder = ? LIMIT ?) RETURNING 1");
  erase_entries_ =
      prepare("DELETE FROM entry WHERE row IN (SELECT row FROM entry WHERE folder = ? LIMIT ?) RETURNING 1");
  erase_folder_ = prepare("DELETE FROM folder WHERE row = ?");
}

Stored<FolderName> SqliteWriting::make_folder(const FolderWish& wish, std::int64_t ends_ms) {
  FolderName name;
  if (RAND_bytes(name.data(), static_cast<int>(name.size())) != 1) {
    return Stored<FolderName>::refused(Refusal::failed, "no random bytes");
  }
  Statement::Use use = make_.use();
  use.bind(bytes_of(name)).bind(bytes_of(wish.read)).bind(bytes_of(wish.write)).bind(bytes_of(wish.own)).bind(ends_ms);
  if (use.run() != SQLITE_DONE) return database_.refused<FolderName>(use.code());
  return {Refusal::none, name, {}};
}

Stored<Done> SqliteWriting::set_token(const Statement& statement, std::int64_t row,
                                      const std::optional<TokenHash>& hash) {
  Statement::Use use = statement.use();
  if (hash) {
    use.bind(bytes_of(*hash));
  } else {
    use.bind_null();
  }
  return done(use.bind(row).run());
}

Stored<std::int64_t> SqliteWriting::change(const Ask& ask, const FolderChange& change) {
  const Stored<FoundFolder> folder = door_.open(database_, ask);
  if (!folder.ok()) return Stored<std::int64_t>::refused(folder.refusal, folder.words);
  std::int64_t ends = folder.value.look.ends_ms;
  if (change.days) {
    ends = ask.now_ms + *change.days * kDayMs;
    Statement::Use use = prolong_.use();
    if (use.bind(ends).bind(folder.value.row).run() != SQLITE_DONE) return database_.refused<std::int64_t>(use.code());
  }
  for (const auto& [statement, hash] : {std::make_pair(&set_read_, &change.read), {&set_write_, &change.write}}) {
    if (!*hash) continue;
    const Stored<Done> set = set_token(*statement, folder.value.row, **hash);
    if (!set.ok()) return Stored<std::int64_t>::refused(set.refusal, set.words);
  }
  return {Refusal::none, ends, {}};
}

Stored<Done> SqliteWriting::close_folder(const Ask& ask) {
  const Stored<FoundFolder> folder = door_.open(database_, ask);
  if (!folder.ok()) return Stored<Done>::refused(folder.refusal, folder.words);
  return done(close_.use().bind(folder.value.row).run());
}

Stored<Done> SqliteWriting::count_in(const FoundFolder& folder, std::uint64_t bytes, int pieces, std::uint64_t last) {
  if (folder.look.bytes + bytes > limits_.folder_bytes) return Stored<Done>::refused(Refusal::folder_full);
  Statement::Use use = count_.use();
  use.bind(static_cast<std::int64_t>(bytes)).bind(pieces).bind(static_cast<std::int64_t>(last)).bind(folder.row);
  return done(use.run());
}

Stored<bool> SqliteWriting::put_piece(const Ask& ask, const PieceName& name, std::string_view sealed) {
  const Stored<FoundFolder> folder = door_.open(database_, ask);
  if (!folder.ok()) return Stored<bool>::refused(folder.refusal, folder.words);
  {
    Statement::Use use = has_piece_.use();
    if (use.bind(folder.value.row).bind(bytes_of(name)).row()) return {Refusal::none, false, {}};
    if (use.code() != SQLITE_DONE) return database_.refused<bool>(use.code());
  }
  const Stored<Done> counted = count_in(folder.value, sealed.size() + kEntryOverhead, 1, folder.value.look.last);
  if (!counted.ok()) return Stored<bool>::refused(counted.refusal, counted.words);
  Statement::Use use = put_piece_.use();
  use.bind(folder.value.row).bind(bytes_of(name)).bind(sealed);
  if (use.run() != SQLITE_DONE) return database_.refused<bool>(use.code());
  return {Refusal::none, true, {}};
}

Stored<Appended> SqliteWriting::append(const Ask& ask, const EntryId& id, std::string_view sealed) {
  const Stored<FoundFolder> folder = door_.open(database_, ask);
  if (!folder.ok()) return Stored<Appended>::refused(folder.refusal, folder.words);
  {
    Statement::Use use = number_of_.use();
    if (use.bind(folder.value.row).bind(bytes_of(id)).row()) {
      return {Refusal::none, {static_cast<std::uint64_t>(use.number(0)), false}, {}};
    }
    if (use.code() != SQLITE_DONE) return database_.refused<Appended>(use.code());
  }
  const std::uint64_t number = folder.value.look.last + 1;
  const Stored<Done> counted = count_in(folder.value, sealed.size() + kEntryOverhead, 0, number);
  if (!counted.ok()) return Stored<Appended>::refused(counted.refusal, counted.words);
  Statement::Use use = append_.use();
  use.bind(folder.value.row).bind(static_cast<std::int64_t>(number)).bind(bytes_of(id)).bind(sealed);
  if (use.run() != SQLITE_DONE) return database_.refused<Appended>(use.code());
  return {Refusal::none, {number, true}, {}};
}

Stored<std::vector<FolderName>> SqliteWriting::ended(std::int64_t now_ms) {
  Stored<std::vector<FolderName>> found;
  Statement::Use use = ended_.use();
  use.bind(now_ms);
  while (use.row()) found.value.push_back(array_from<FolderName>(use.blob(0).data()));
  if (use.code() != SQLITE_DONE) return database_.refused<std::vector<FolderName>>(use.code());
  return found;
}

Stored<bool> SqliteWriting::close_ended(const FolderName& folder, std::int64_t now_ms) {
  Statement::Use use = close_ended_.use();
  if (use.bind(bytes_of(folder)).bind(now_ms).run() != SQLITE_DONE) return database_.refused<bool>(use.code());
  return {Refusal::none, sqlite3_changes(database_.handle()) > 0, {}};
}

Stored<std::int64_t> SqliteWriting::closed_row(const FolderName* only) {
  Statement::Use use = (only ? closed_one_ : closed_any_).use();
  if (only) use.bind(bytes_of(*only));
  if (use.row()) return {Refusal::none, use.number(0), {}};
  if (use.code() != SQLITE_DONE) return database_.refused<std::int64_t>(use.code());
  return {};
}

Stored<bool> SqliteWriting::erase_some(const FolderName* only) {
  const Stored<std::int64_t> row = closed_row(only);
  if (!row.ok()) return Stored<bool>::refused(row.refusal, row.words);
  if (row.value == 0) return {Refusal::none, true, {}};
  for (const auto& [statement, most] :
       {std::make_pair(&erase_pieces_, kPiecesAtOnce), {&erase_entries_, kEntriesAtOnce}}) {
    Statement::Use use = statement->use();
    use.bind(row.value).bind(most);
    int erased = 0;
    while (use.row()) ++erased;
    if (use.code() != SQLITE_DONE) return database_.refused<bool>(use.code());
    if (erased > 0) return {Refusal::none, false, {}};
  }
  Statement::Use use = erase_folder_.use();
  if (use.bind(row.value).run() != SQLITE_DONE) return database_.refused<bool>(use.code());
  return {Refusal::none, only != nullptr, {}};
}

/// Erased bytes are overwritten by zeros in the pages that held them (secure_delete), those pages go from the log into
/// the file, the file gives up what it no longer needs, and the log is cut to nothing.
Stored<Done> SqliteWriting::scrub() {
  int code = database_.run("PRAGMA incremental_vacuum");
  if (code == SQLITE_OK) {
    code = sqlite3_wal_checkpoint_v2(database_.handle(), nullptr, SQLITE_CHECKPOINT_TRUNCATE, nullptr, nullptr);
  }
  return done(code);
}

}  // namespace

Result<std::unique_ptr<StoreWriting>> make_sqlite_writing(Sqlite database, const StoreLimits& limits) {
  int failed = SQLITE_OK;
  auto writing = std::make_unique<SqliteWriting>(std::move(database), limits, failed);
  if (failed != SQLITE_OK) return Error{std::string("the store cannot be used: ") + sqlite3_errstr(failed), {}, {}};
  return std::unique_ptr<StoreWriting>(std::move(writing));
}

}  // namespace intercusp::serve
