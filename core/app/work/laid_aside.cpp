#include "app/work/laid_aside.h"

#include "app/work/opening.h"
#include "app/work/review.h"

namespace intercusp {

namespace {

bool holds_unsaved_work(const Workspace& w) {
  const bool changed = w.document.can_undo() || w.saved_revision == kNeverSaved;
  return w.has_case && !w.practice && !in_review(w) && changed && w.document.revision() != w.saved_revision;
}

}  // namespace

void lay_aside(Workspace& w) {
  if (!holds_unsaved_work(w)) return;
  w.say({Message::Kind::note, w.now().id + " was not saved and is laid aside",
         "Intercusp at the upper left brings it back", "", 0});
  w.laid_aside = LaidAside{std::move(w.document), w.plan, w.stop};
}

Status take_up_again(Workspace& w) {
  if (!w.laid_aside) return Error{"nothing is laid aside", "", ""};
  LaidAside back = std::move(*w.laid_aside);
  w.laid_aside.reset();
  take_document(w, std::move(back.document));
  w.saved_revision = kNeverSaved;
  w.plan = back.plan;
  w.stop = back.stop;
  return Done{};
}

}  // namespace intercusp
