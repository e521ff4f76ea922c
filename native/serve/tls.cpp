#include "serve/tls.h"

namespace intercusp::serve {

namespace ssl = boost::asio::ssl;

Result<std::unique_ptr<ssl::context>> load_tls(const std::string& certificate, const std::string& key) {
  if (certificate.empty() && key.empty()) return std::unique_ptr<ssl::context>();
  if (certificate.empty() || key.empty()) {
    return Error{"TLS needs a certificate and its key", {}, "name both with --certificate and --key"};
  }
  auto context = std::make_unique<ssl::context>(ssl::context::tls_server);
  boost::system::error_code failed;
  context->set_options(ssl::context::default_workarounds | ssl::context::no_sslv3 | ssl::context::no_tlsv1 |
                           ssl::context::no_tlsv1_1 | ssl::context::single_dh_use,
                       failed);
  SSL_CTX_set_options(context->native_handle(), SSL_OP_NO_RENEGOTIATION | SSL_OP_CIPHER_SERVER_PREFERENCE);
  // Many connections that mostly wait: each gives its buffers back meanwhile.
  SSL_CTX_set_mode(context->native_handle(), SSL_MODE_RELEASE_BUFFERS);
  context->use_certificate_chain_file(certificate, failed);
  if (failed) {
    return Error{"this is no certificate that can be read: " + failed.message(), certificate, "name a PEM file"};
  }
  context->use_private_key_file(key, ssl::context::pem, failed);
  if (failed || SSL_CTX_check_private_key(context->native_handle()) != 1) {
    return Error{"this is not the certificate's private key", key, "name the PEM file that belongs to it"};
  }
  return context;
}

}  // namespace intercusp::serve
