// While it lives, this thread's texts are UTF-8 to the C library, whatever the machine is set to.
#pragma once

#include <locale.h>

namespace cranknote::job {

class Utf8Locale {
  public:
    Utf8Locale() : utf8_(::newlocale(LC_CTYPE_MASK, "C.UTF-8", nullptr)) {
        if (utf8_ != nullptr) before_ = ::uselocale(utf8_);
    }
    ~Utf8Locale() {
        if (utf8_ == nullptr) return;
        ::uselocale(before_);
        ::freelocale(utf8_);
    }
    Utf8Locale(const Utf8Locale&) = delete;
    Utf8Locale& operator=(const Utf8Locale&) = delete;

  private:
    locale_t utf8_;
    locale_t before_ = nullptr;
};

}  // namespace cranknote::job
