#pragma once

#include <future>
#include <string>
#include <vector>

namespace intercusp {

/// Asks for files with the desktop's own dialog program (zenity or kdialog), while the window stays alive.
class FileDialog {
 public:
  /// False when this desktop has no dialog program; `done` is called on another thread when the dialog closes.
  bool open(void (*done)());
  /// The paths chosen, once; empty while the dialog is open or when nothing was chosen.
  std::vector<std::string> take();

 private:
  std::future<std::vector<std::string>> answer_;
};

}  // namespace intercusp
