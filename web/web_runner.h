#pragma once

#include "app/errands/errand_runner.h"
#include "app/errands/errand_wire.h"

namespace intercusp {

/// Errands go to the worker beside the page (page/bench.js) as bytes and come back as bytes.
class WebRunner : public ErrandRunner {
 public:
  void start(Errand errand) override;
  std::optional<ErrandAnswer> take() override;
  void cancel() override;
  double fraction() const override { return fraction_; }

  /// What the page hands over from the worker.
  void receive(const std::uint8_t* bytes, std::size_t size);
  void progressed(double fraction) { fraction_ = fraction; }
  /// The worker is gone, and a new one knows no surface.
  void worker_stopped(const std::string& why);

 private:
  SurfaceLedger ledger_{1};
  std::string file_;  ///< name of the file that the errand under way reads
  std::optional<ErrandAnswer> answer_;
  double fraction_ = 0;
};

}  // namespace intercusp
