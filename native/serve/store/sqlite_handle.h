// SQLite with owners for its two kinds of handle. Nothing here throws.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>

#include <sqlite3.h>

#include "serve/store/review_store.h"

namespace intercusp::serve {

class Sqlite;

/// A prepared statement, used again and again: bind, step, and it resets itself when the use ends.
class Statement {
 public:
  /// One use of the statement.
  class Use {
   public:
    explicit Use(sqlite3_stmt* statement) : statement_(statement) {}
    Use(const Use&) = delete;
    Use& operator=(const Use&) = delete;
    ~Use();

    Use& bind(std::int64_t value);
    /// The bytes must stay until the use ends.
    Use& bind(std::string_view blob);
    Use& bind_text(const std::string& text);
    Use& bind_null();
    /// True when there is a row. `code()` says how it ended otherwise: SQLITE_DONE or an error.
    bool row();
    /// For statements without rows: SQLITE_DONE or an error.
    int run();
    int code() const { return code_; }

    std::int64_t number(int column) const { return sqlite3_column_int64(statement_, column); }
    std::string_view blob(int column) const;

   private:
    sqlite3_stmt* statement_;
    int next_ = 1;
    int code_ = SQLITE_OK;
  };

  Statement() = default;
  /// `failed` becomes the error, if any.
  Statement(sqlite3* database, const char* sql, int& failed);
  Use use() const { return Use(statement_.get()); }

 private:
  struct Finalizer {
    void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
  };
  std::unique_ptr<sqlite3_stmt, Finalizer> statement_;
};

/// An open database of the store.
class Sqlite {
 public:
  static Result<Sqlite> open(const std::string& file, bool may_write);
  sqlite3* handle() const { return database_.get(); }
  int run(const char* sql) const;
  /// The first column of the first row; `otherwise` when there is none.
  std::int64_t number(const char* sql, std::int64_t otherwise) const;
  std::string text(const char* sql) const;
  /// What an error code means to the server.
  Refusal refusal_of(int code) const;
  std::string words_of(int code) const;
  template <class T>
  Stored<T> refused(int code) const {
    return Stored<T>::refused(refusal_of(code), words_of(code));
  }

 private:
  struct Closer {
    void operator()(sqlite3* database) const { sqlite3_close_v2(database); }
  };
  std::unique_ptr<sqlite3, Closer> database_;
};

}  // namespace intercusp::serve
