// A ZIP archive written from front to back: what a spreadsheet's workbook is packed in. Format: PKWARE APPNOTE 6.3.3,
// entries deflated (RFC 1951), no ZIP64. Memory does not grow with what is written.
#pragma once

#include <cstdint>
#include <cstdio>
#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace seamwright {

// Where packed bytes go. False: they cannot be written.
using ByteSink = std::function<bool(std::string_view bytes)>;

// Packs one text. What comes out depends on the text alone, not on how it was cut when it was added.
class Deflater {
 public:
  explicit Deflater(ByteSink sink);
  ~Deflater();
  Deflater(const Deflater&) = delete;
  Deflater& operator=(const Deflater&) = delete;

  // False where the sink failed, memory ran out, or the text is longer than an entry may be: see too_long().
  [[nodiscard]] bool add(std::string_view text);
  [[nodiscard]] bool finish();
  [[nodiscard]] bool too_long() const { return size_ > longest; }

  [[nodiscard]] std::uint32_t crc() const { return crc_; }
  [[nodiscard]] std::uint64_t size() const { return size_; }
  [[nodiscard]] std::uint64_t packed_size() const { return packed_; }

  // A 32-bit size with all bits set means ZIP64.
  static constexpr std::uint64_t longest = UINT32_MAX - 1;

 private:
  struct Stream;
  ByteSink sink_;
  std::unique_ptr<Stream> stream_;
  std::string chunk_;
  std::uint32_t crc_ = 0;
  std::uint64_t size_ = 0, packed_ = 0;
  bool pack(bool last);
};

// A part of an archive that is made while another one is written: packed into a temporary file without a name.
class SpooledPart {
 public:
  SpooledPart();
  [[nodiscard]] bool add(std::string_view text) { return file_ != nullptr && deflater_.add(text); }

 private:
  friend class ZipWriter;
  struct Close {
    void operator()(std::FILE* file) const { (void)std::fclose(file); }
  };
  std::unique_ptr<std::FILE, Close> file_;
  Deflater deflater_;
};

class ZipWriter {
 public:
  explicit ZipWriter(ByteSink sink) : sink_(std::move(sink)) {}

  // One entry after the other. False where the sink failed, or too_long().
  [[nodiscard]] bool begin(std::string_view name);
  [[nodiscard]] bool add(std::string_view text) { return deflater_->add(text); }
  [[nodiscard]] bool end();
  [[nodiscard]] bool add_part(std::string_view name, std::string_view text);
  [[nodiscard]] bool add_part(std::string_view name, SpooledPart& part);
  // Writes the directory: the archive is whole.
  [[nodiscard]] bool finish();
  // An entry, or the archive, is longer than 4 GiB.
  [[nodiscard]] bool too_long() const { return too_long_ || (deflater_ && deflater_->too_long()); }

 private:
  struct Entry {
    std::string name;
    std::uint32_t crc = 0;
    std::uint64_t size = 0, packed = 0, offset = 0;
    bool sizes_follow = false;  // behind the data, as they were not known before
  };
  ByteSink sink_;
  std::unique_ptr<Deflater> deflater_;
  std::vector<Entry> entries_;
  std::uint64_t offset_ = 0;
  bool too_long_ = false;
  bool put(std::string_view bytes);
};

}  // namespace seamwright
