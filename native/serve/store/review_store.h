// What keeps shared cases, behind an interface that a store shared by several servers can fill as well.
#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "serve/wire/ids.h"
#include "serve/wire/request.h"

namespace intercusp::serve {

/// What a token is shown for.
enum class Power { read, write, own };

/// Why the store did not do it.
enum class Refusal {
  none,
  unknown,      ///< no such folder, ended, erased, revoked, or another token: never told apart
  no_piece,     ///< the folder is there and may be read, the piece is not
  folder_full,  ///< this case has as much as one case may have
  no_room,      ///< the disk, or what the store may take of it, is full
  damaged,      ///< the store's file is not what was written
  failed        ///< anything else; `words` says what
};

template <class T>
struct Stored {
  Refusal refusal = Refusal::none;
  T value{};
  std::string words;  ///< of `failed` and `damaged`, for the server's own log

  bool ok() const { return refusal == Refusal::none; }
  static Stored refused(Refusal why, std::string said = {}) { return {why, T{}, std::move(said)}; }
};

struct FolderLook {
  std::int64_t ends_ms = 0;  ///< since 1970
  std::uint64_t last = 0;    ///< number of the last entry, 0 when there is none
  std::uint64_t pieces = 0;
  std::uint64_t bytes = 0;  ///< of pieces and entries
};

struct Appended {
  std::uint64_t number = 0;
  bool is_new = false;
};

struct LogPart {
  std::string frames;      ///< as `append_log_frame` makes them
  std::uint64_t last = 0;  ///< number of the last entry in it; 0 when there was none
};

/// Who asks, for which folder, with which power. `now_ms`: a folder that ended before is unknown.
struct Ask {
  FolderName folder{};
  Power power = Power::read;
  Token token{};
  std::int64_t now_ms = 0;
};

/// Reads see every write whose commit has returned. Used by one thread.
class StoreReading {
 public:
  virtual ~StoreReading() = default;
  /// Whether the token opens the folder. Takes the same steps whether or not there is such a folder.
  virtual Stored<Done> allowed(const Ask& ask) = 0;
  virtual Stored<FolderLook> look(const Ask& ask) = 0;
  virtual Stored<Done> has_piece(const Ask& ask, const PieceName& name) = 0;
  virtual Stored<std::string> piece(const Ask& ask, const PieceName& name) = 0;
  /// Entries after number `after`, at most about `most_bytes` of them (at least one when there is one).
  virtual Stored<LogPart> log(const Ask& ask, std::uint64_t after, std::size_t most_bytes) = 0;
};

/// Everything between `begin` and a `commit` that succeeded is on disk; of everything else nothing. Used by one thread.
class StoreWriting {
 public:
  virtual ~StoreWriting() = default;
  virtual Stored<Done> begin() = 0;
  virtual Stored<Done> commit() = 0;
  virtual void roll_back() = 0;

  virtual Stored<FolderName> make_folder(const FolderWish& wish, std::int64_t ends_ms) = 0;
  /// Answers when the folder ends from now on. `days` of the change count from `ask.now_ms`.
  virtual Stored<std::int64_t> change(const Ask& ask, const FolderChange& change) = 0;
  /// From its commit on nobody can open the folder. Its bytes go with `erase_some`.
  virtual Stored<Done> close_folder(const Ask& ask) = 0;
  /// True when the piece was not there before.
  virtual Stored<bool> put_piece(const Ask& ask, const PieceName& name, std::string_view sealed) = 0;
  virtual Stored<Appended> append(const Ask& ask, const EntryId& id, std::string_view sealed) = 0;

  /// Folders that ended before `now_ms` and are not closed yet.
  virtual Stored<std::vector<FolderName>> ended(std::int64_t now_ms) = 0;
  /// Closes an ended folder without a token. False when it has been prolonged meanwhile.
  virtual Stored<bool> close_ended(const FolderName& folder, std::int64_t now_ms) = 0;
  /// Erases a part of what belongs to closed folders (`only`, or any when null); true when nothing of it is left.
  virtual Stored<bool> erase_some(const FolderName* only) = 0;
  /// Outside begin and commit: makes what was erased disappear from every file of the store.
  virtual Stored<Done> scrub() = 0;
};

struct ReviewStore {
  std::unique_ptr<StoreReading> reading;
  std::unique_ptr<StoreWriting> writing;
  std::shared_ptr<void> hold;  ///< keeps other servers away from the same store
};

struct StoreLimits {
  std::uint64_t folder_bytes = 1024ull << 20;
  std::uint64_t store_bytes = 20480ull << 20;
};

}  // namespace intercusp::serve
