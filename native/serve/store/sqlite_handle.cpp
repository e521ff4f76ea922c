#include "serve/store/sqlite_handle.h"

namespace intercusp::serve {

Statement::Use::~Use() {
  sqlite3_reset(statement_);
  sqlite3_clear_bindings(statement_);
}

Statement::Use& Statement::Use::bind(std::int64_t value) {
  sqlite3_bind_int64(statement_, next_++, value);
  return *this;
}

Statement::Use& Statement::Use::bind(std::string_view blob) {
  sqlite3_bind_blob64(statement_, next_++, blob.data(), blob.size(), SQLITE_STATIC);
  return *this;
}

Statement::Use& Statement::Use::bind_text(const std::string& text) {
  sqlite3_bind_text(statement_, next_++, text.c_str(), -1, SQLITE_STATIC);
  return *this;
}

Statement::Use& Statement::Use::bind_null() {
  sqlite3_bind_null(statement_, next_++);
  return *this;
}

bool Statement::Use::row() {
  code_ = sqlite3_step(statement_);
  return code_ == SQLITE_ROW;
}

int Statement::Use::run() {
  code_ = sqlite3_step(statement_);
  return code_;
}

std::string_view Statement::Use::blob(int column) const {
  const void* bytes = sqlite3_column_blob(statement_, column);
  const int size = sqlite3_column_bytes(statement_, column);
  return bytes ? std::string_view(static_cast<const char*>(bytes), static_cast<std::size_t>(size)) : std::string_view();
}

Statement::Statement(sqlite3* database, const char* sql, int& failed) {
  sqlite3_stmt* statement = nullptr;
  const int code = sqlite3_prepare_v3(database, sql, -1, SQLITE_PREPARE_PERSISTENT, &statement, nullptr);
  if (code != SQLITE_OK && failed == SQLITE_OK) failed = code;
  statement_.reset(statement);
}

Result<Sqlite> Sqlite::open(const std::string& file, bool may_write) {
  sqlite3* database = nullptr;
  // One thread has this handle: no lock of SQLite's own is needed.
  const int flags =
      (may_write ? SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE : SQLITE_OPEN_READWRITE) | SQLITE_OPEN_NOMUTEX;
  const int code = sqlite3_open_v2(file.c_str(), &database, flags, nullptr);
  Sqlite opened;
  opened.database_.reset(database);
  if (code != SQLITE_OK) {
    return Error{std::string("the store cannot be opened: ") + sqlite3_errstr(code), file,
                 "check that the folder exists and that this user may write in it"};
  }
  sqlite3_extended_result_codes(database, 1);
  sqlite3_busy_timeout(database, 10000);
  return opened;
}

int Sqlite::run(const char* sql) const {
  return sqlite3_exec(handle(), sql, nullptr, nullptr, nullptr);
}

std::int64_t Sqlite::number(const char* sql, std::int64_t otherwise) const {
  int failed = SQLITE_OK;
  const Statement statement(handle(), sql, failed);
  if (failed != SQLITE_OK) return otherwise;
  Statement::Use use = statement.use();
  return use.row() ? use.number(0) : otherwise;
}

std::string Sqlite::text(const char* sql) const {
  int failed = SQLITE_OK;
  const Statement statement(handle(), sql, failed);
  if (failed != SQLITE_OK) return {};
  Statement::Use use = statement.use();
  return use.row() ? std::string(use.blob(0)) : std::string();
}

Refusal Sqlite::refusal_of(int code) const {
  switch (code & 0xff) {
    case SQLITE_OK:
    case SQLITE_DONE:
    case SQLITE_ROW:
      return Refusal::none;
    case SQLITE_FULL:
      return Refusal::no_room;
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
      return Refusal::damaged;
    case SQLITE_IOERR:
      // A quota or a limit of file size ends a write otherwise than a full disk does, and means the same. The system's
      // own reason is lost by the time that this is asked.
      return code == SQLITE_IOERR_WRITE || code == SQLITE_IOERR_SHMSIZE ? Refusal::no_room : Refusal::failed;
    default:
      return Refusal::failed;
  }
}

std::string Sqlite::words_of(int code) const {
  if (refusal_of(code) == Refusal::none) return {};
  return std::string(sqlite3_errstr(code)) + " (" + sqlite3_errmsg(handle()) + ")";
}

}  // namespace intercusp::serve
