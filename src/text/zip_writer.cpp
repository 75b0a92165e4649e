#include "text/zip_writer.hpp"

#include <zlib.h>

#include <algorithm>
#include <array>

namespace seamwright {
namespace {

constexpr std::size_t chunk_bytes = std::size_t{64} << 10;

// Numbers of the format are little-endian.
void append_number(std::string& out, std::uint64_t value, int bytes) {
  constexpr unsigned byte_bits = 8, byte_mask = 0xFF;
  for (int i = 0; i < bytes; ++i, value >>= byte_bits) out += static_cast<char>(value & byte_mask);
}

// 1980-01-01, the first day the format knows: the same rows give the same bytes on any day.
constexpr std::uint64_t first_day = (1U << 5U) | 1U;

constexpr std::uint64_t local_header = 0x04034b50, central_header = 0x02014b50, directory_end = 0x06054b50,
                        descriptor_mark = 0x08074b50;
constexpr std::uint64_t version_deflate = 20, method_deflate = 8;
constexpr std::uint64_t flag_sizes_follow = 1U << 3U, flag_utf8 = 1U << 11U;

// What the local header and the directory have in common: version to file name length.
void append_common(std::string& out, bool sizes_follow, std::uint32_t crc, std::uint64_t packed, std::uint64_t size,
                   std::size_t name_bytes) {
  append_number(out, version_deflate, 2);
  append_number(out, flag_utf8 | (sizes_follow ? flag_sizes_follow : 0), 2);
  append_number(out, method_deflate, 2);
  append_number(out, 0, 2);  // time
  append_number(out, first_day, 2);
  append_number(out, crc, 4);
  append_number(out, packed, 4);
  append_number(out, size, 4);
  append_number(out, name_bytes, 2);
  append_number(out, 0, 2);  // no extra field
}

}  // namespace

// --- deflate ---------------------------------------------------------------------------------------------------------
struct Deflater::Stream {
  z_stream z{};
  bool good = false;
  // The quickest level: a batch must not wait for its workbook.
  Stream() {
    good = ::deflateInit2(&z, Z_BEST_SPEED, Z_DEFLATED, -MAX_WBITS, MAX_MEM_LEVEL, Z_DEFAULT_STRATEGY) == Z_OK;
  }
  ~Stream() { (void)::deflateEnd(&z); }
  Stream(const Stream&) = delete;
  Stream& operator=(const Stream&) = delete;
};

Deflater::Deflater(ByteSink sink) : sink_(std::move(sink)), stream_(std::make_unique<Stream>()) {
  chunk_.reserve(chunk_bytes);
}
Deflater::~Deflater() = default;

bool Deflater::add(std::string_view text) {
  size_ += text.size();
  if (too_long()) return false;
  while (!text.empty()) {
    const std::size_t part = std::min(text.size(), chunk_bytes - chunk_.size());
    chunk_ += text.substr(0, part);
    text.remove_prefix(part);
    if (chunk_.size() == chunk_bytes && !pack(false)) return false;
  }
  return true;
}

bool Deflater::finish() { return !too_long() && pack(true); }

bool Deflater::pack(bool last) {
  if (!stream_->good) return false;
  z_stream& z = stream_->z;
  // zlib asks for bytes that may be written to and writes to none of them.
  auto* bytes = reinterpret_cast<Bytef*>(chunk_.data());  // NOLINT(cppcoreguidelines-pro-type-reinterpret-cast)
  crc_ = static_cast<std::uint32_t>(::crc32(crc_, bytes, static_cast<uInt>(chunk_.size())));
  z.next_in = bytes;
  z.avail_in = static_cast<uInt>(chunk_.size());
  std::array<char, chunk_bytes> out;
  do {
    z.next_out = reinterpret_cast<Bytef*>(out.data());  // NOLINT(cppcoreguidelines-pro-type-reinterpret-cast)
    z.avail_out = static_cast<uInt>(out.size());
    if (::deflate(&z, last ? Z_FINISH : Z_NO_FLUSH) == Z_STREAM_ERROR) return false;
    const std::size_t made = out.size() - z.avail_out;
    packed_ += made;
    if (made > 0 && !sink_({out.data(), made})) return false;
  } while (z.avail_out == 0);
  chunk_.clear();
  return true;
}

// --- a part on its way -----------------------------------------------------------------------------------------------
SpooledPart::SpooledPart()
    : file_(std::tmpfile()), deflater_([this](std::string_view bytes) {
        return std::fwrite(bytes.data(), 1, bytes.size(), file_.get()) == bytes.size();
      }) {}

// --- archive ---------------------------------------------------------------------------------------------------------
bool ZipWriter::put(std::string_view bytes) {
  offset_ += bytes.size();
  too_long_ = too_long_ || offset_ > Deflater::longest;
  return !too_long_ && sink_(bytes);
}

bool ZipWriter::begin(std::string_view name) {
  entries_.push_back({std::string(name), 0, 0, 0, offset_, true});
  std::string header;
  append_number(header, local_header, 4);
  append_common(header, true, 0, 0, 0, name.size());
  header += name;
  deflater_ = std::make_unique<Deflater>([this](std::string_view bytes) { return put(bytes); });
  return put(header);
}

bool ZipWriter::end() {
  if (!deflater_->finish()) return false;
  Entry& entry = entries_.back();
  entry.crc = deflater_->crc();
  entry.size = deflater_->size();
  entry.packed = deflater_->packed_size();
  std::string descriptor;
  append_number(descriptor, descriptor_mark, 4);
  append_number(descriptor, entry.crc, 4);
  append_number(descriptor, entry.packed, 4);
  append_number(descriptor, entry.size, 4);
  return put(descriptor);
}

bool ZipWriter::add_part(std::string_view name, std::string_view text) { return begin(name) && add(text) && end(); }

bool ZipWriter::add_part(std::string_view name, SpooledPart& part) {
  if (part.file_ == nullptr || !part.deflater_.finish()) {
    too_long_ = too_long_ || part.deflater_.too_long();
    return false;
  }
  const Deflater& d = part.deflater_;
  entries_.push_back({std::string(name), d.crc(), d.size(), d.packed_size(), offset_, false});
  std::string header;
  append_number(header, local_header, 4);
  append_common(header, false, d.crc(), d.packed_size(), d.size(), name.size());
  header += name;
  if (!put(header) || std::fseek(part.file_.get(), 0, SEEK_SET) != 0) return false;
  std::array<char, chunk_bytes> bytes;
  for (std::uint64_t left = d.packed_size(); left > 0;) {
    const std::size_t read = std::fread(bytes.data(), 1, std::min<std::uint64_t>(bytes.size(), left), part.file_.get());
    if (read == 0 || !put({bytes.data(), read})) return false;
    left -= read;
  }
  return true;
}

bool ZipWriter::finish() {
  const std::uint64_t begin = offset_;
  std::string directory;
  for (const Entry& entry : entries_) {
    append_number(directory, central_header, 4);
    append_number(directory, version_deflate, 2);  // made by
    append_common(directory, entry.sizes_follow, entry.crc, entry.packed, entry.size, entry.name.size());
    append_number(directory, 0, 2);  // no comment
    append_number(directory, 0, 2);  // disk
    append_number(directory, 0, 2);  // internal and
    append_number(directory, 0, 4);  // external attributes
    append_number(directory, entry.offset, 4);
    directory += entry.name;
  }
  const std::size_t bytes = directory.size();
  append_number(directory, directory_end, 4);
  append_number(directory, 0, 4);  // disks
  append_number(directory, entries_.size(), 2);
  append_number(directory, entries_.size(), 2);
  append_number(directory, bytes, 4);
  append_number(directory, begin, 4);
  append_number(directory, 0, 2);  // no comment
  return put(directory);
}

}  // namespace seamwright
