#include "text/sheet_xml.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "text/foreign_text.hpp"

namespace seamwright {
namespace {

// Stand for the number of the row, and for the beginning of the next one. No text has them: they are control
// characters.
constexpr char row_number = '\x01', next_row = '\x02';

constexpr std::size_t line_height_pt = 15;
constexpr std::size_t longest_cell = 32'767;  // letters, as UTF-16 counts them

void open_cell(std::string& out, std::size_t column, SheetStyle style) {
  constexpr std::size_t letters = 26;
  out += "<c r=\"";
  if (column < letters)
    out += static_cast<char>('A' + static_cast<int>(column));
  else
    out += sheet_column(column);
  out += row_number;
  out += "\" s=\"";
  fmt::format_to(std::back_inserter(out), "{}", static_cast<unsigned>(style));
  out += '"';
}

// "_x0041_" would be read as the letter A: its first line is written as what it means itself.
bool is_coded_letter(std::string_view text) {
  constexpr std::size_t length = 7;
  return text.size() >= length && text[0] == '_' && text[1] == 'x' && text[length - 1] == '_' &&
         text.substr(2, 4).find_first_not_of("0123456789abcdefABCDEF") == std::string_view::npos;
}

// Half of a letter beyond the first 65,536 is no letter: those count twice.
std::string_view first_of_cell(std::string_view text, bool& cut) {
  std::size_t letters = 0, at = 0;
  constexpr std::string_view mark = "...";
  std::size_t fits = 0;  // bytes with which the mark still fits
  while (at < text.size()) {
    const ForeignLetter letter = foreign_letter(text.substr(at));
    constexpr char32_t last_of_two_bytes = 0xFFFF;
    letters += letter.code > last_of_two_bytes ? 2 : 1;
    if (letters > longest_cell) break;
    at += letter.bytes;
    if (letters + mark.size() <= longest_cell) fits = at;
  }
  cut = at < text.size();
  return text.substr(0, cut ? fits : at);
}

void append_escaped(std::string& out, std::string_view text) {
  constexpr std::string_view special = "&<>\r_\xEF";
  for (;;) {
    const std::size_t at = text.find_first_of(special);
    append_printable(out, text.substr(0, at), LineBreaks::kept);
    if (at == std::string_view::npos) return;
    text.remove_prefix(at);
    std::size_t used = 1;
    switch (text.front()) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '\r':  // a line feed follows, or it stands for one
        if (text.size() == 1 || text[1] != '\n') out += '\n';
        break;
      case '_':
        out += is_coded_letter(text) ? "_x005F_" : "_";
        break;
      default: {  // U+FFFE and U+FFFF are letters of no text
        used = std::min<std::size_t>(std::max<std::size_t>(foreign_letter(text).bytes, 1), text.size());
        const std::string_view letter = text.substr(0, used);
        if (letter == "\xEF\xBF\xBE" || letter == "\xEF\xBF\xBF")
          out += '?';
        else
          append_printable(out, letter);
      }
    }
    text.remove_prefix(used);
  }
}

bool needs_its_blanks(std::string_view text) {
  constexpr std::string_view blanks = " \t\r\n";
  return !text.empty() &&
         (blanks.find(text.front()) != std::string_view::npos || blanks.find(text.back()) != std::string_view::npos ||
          text.find('\n') != std::string_view::npos);
}

}  // namespace

SheetStyle sheet_decimals(int decimals) {
  return static_cast<SheetStyle>(static_cast<int>(SheetStyle::decimals_0) +
                                 std::clamp(decimals, 0, most_sheet_decimals));
}

std::string sheet_column(std::size_t index) {
  constexpr std::size_t letters = 26;
  std::string name;
  for (++index; index > 0; index = (index - 1) / letters)
    name.insert(name.begin(), static_cast<char>('A' + static_cast<int>((index - 1) % letters)));
  return name;
}

void begin_sheet_row(std::string& out, std::size_t lines) {
  constexpr std::size_t most_lines = 27;  // of the 409 points a row may be high
  out += next_row;
  out += "<row r=\"";
  out += row_number;
  if (lines > 1)
    fmt::format_to(std::back_inserter(out), "\" ht=\"{}\" customHeight=\"1\">",
                   line_height_pt * std::min(lines, most_lines));
  else
    out += "\">";
}
void end_sheet_row(std::string& out) { out += "</row>"; }

void append_sheet_text(std::string& out, std::size_t column, std::string_view text, SheetStyle style) {
  open_cell(out, column, style);
  out += needs_its_blanks(text) ? " t=\"inlineStr\"><is><t xml:space=\"preserve\">" : " t=\"inlineStr\"><is><t>";
  bool cut = false;
  if (text.size() > longest_cell) text = first_of_cell(text, cut);
  append_escaped(out, text);
  out += cut ? "...</t></is></c>" : "</t></is></c>";
}

void append_sheet_number(std::string& out, std::size_t column, std::string_view number, SheetStyle style) {
  open_cell(out, column, style);
  out += "><v>";
  out += number;
  out += "</v></c>";
}

std::string_view SheetRows::number(std::string_view rows) {
  constexpr std::string_view marks("\x01\x02", 2);
  out_.clear();
  while (!rows.empty()) {
    const std::size_t at = rows.find_first_of(marks);
    out_ += rows.substr(0, at);
    if (at == std::string_view::npos) break;
    if (rows[at] == row_number) {
      out_ += digits_;
    } else if (count_ == most) {
      full_ = true;
      break;
    } else {
      digits_ = std::to_string(++count_);
    }
    rows.remove_prefix(at + 1);
  }
  return out_;
}

std::string sheet_begin_xml(const std::vector<SheetColumn>& columns, bool frozen_header) {
  constexpr std::size_t most_columns_of_a_page = 12;  // more would be printed too small to read
  std::string xml =
      "<?xml version=\"1.0\" encoding=\"UTF-8\" standalone=\"yes\"?>\n"
      "<worksheet xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\">";
  if (columns.size() <= most_columns_of_a_page) xml += "<sheetPr><pageSetUpPr fitToPage=\"1\"/></sheetPr>";
  xml += frozen_header ? "<sheetViews><sheetView workbookViewId=\"0\"><pane ySplit=\"1\" topLeftCell=\"A2\" "
                         "activePane=\"bottomLeft\" state=\"frozen\"/><selection pane=\"bottomLeft\"/></sheetView>"
                         "</sheetViews>"
                       : "<sheetViews><sheetView workbookViewId=\"0\"/></sheetViews>";
  xml += fmt::format("<sheetFormatPr defaultRowHeight=\"{}\"/><cols>", line_height_pt);
  for (std::size_t i = 0; i < columns.size(); ++i)
    xml += fmt::format("<col min=\"{0}\" max=\"{0}\" width=\"{1}\" customWidth=\"1\"/>", i + 1, columns[i].width);
  return xml + "</cols><sheetData>";
}

std::string sheet_end_xml(std::string_view filtered) {
  std::string xml = "</sheetData>";
  if (!filtered.empty()) xml += fmt::format("<autoFilter ref=\"{}\"/>", filtered);
  return xml +
         "<pageMargins left=\"0.4\" right=\"0.4\" top=\"0.5\" bottom=\"0.5\" header=\"0.3\" footer=\"0.3\"/>"
         "<pageSetup paperSize=\"9\" orientation=\"landscape\" fitToHeight=\"0\"/></worksheet>\n";
}

void append_sheet_header(std::string& out, const std::vector<SheetColumn>& columns) {
  std::size_t lines = 1;
  for (const SheetColumn& column : columns) lines = std::max(lines, sheet_lines(column.header, column.width));
  begin_sheet_row(out, lines);
  for (std::size_t i = 0; i < columns.size(); ++i) append_sheet_text(out, i, columns[i].header, SheetStyle::header);
  end_sheet_row(out);
}

std::size_t sheet_lines(std::string_view text, double width) {
  constexpr double margin = 2;  // letters of it are lost to the margins, and where words break
  const double letters = std::max(1.0, width - margin);
  return std::max<std::size_t>(1, static_cast<std::size_t>(std::ceil(static_cast<double>(text.size()) / letters)));
}

// The order of cellXfs is that of SheetStyle. Fills 0 and 1 are reserved.
std::string_view sheet_styles_xml() {
  return "<?xml version=\"1.0\" encoding=\"UTF-8\" standalone=\"yes\"?>\n"
         "<styleSheet xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\">"
         "<numFmts count=\"3\"><numFmt numFmtId=\"164\" formatCode=\"0.0\"/><numFmt numFmtId=\"165\" "
         "formatCode=\"0.000\"/><numFmt numFmtId=\"166\" formatCode=\"0.0000\"/></numFmts>"
         "<fonts count=\"2\"><font><sz val=\"11\"/><name val=\"Calibri\"/></font>"
         "<font><b/><sz val=\"11\"/><name val=\"Calibri\"/></font></fonts>"
         "<fills count=\"6\"><fill><patternFill patternType=\"none\"/></fill>"
         "<fill><patternFill patternType=\"gray125\"/></fill>"
         "<fill><patternFill patternType=\"solid\"><fgColor rgb=\"FFDDE3EA\"/></patternFill></fill>"
         "<fill><patternFill patternType=\"solid\"><fgColor rgb=\"FFC6E7C8\"/></patternFill></fill>"
         "<fill><patternFill patternType=\"solid\"><fgColor rgb=\"FFFFE699\"/></patternFill></fill>"
         "<fill><patternFill patternType=\"solid\"><fgColor rgb=\"FFF4B6B0\"/></patternFill></fill></fills>"
         "<borders count=\"2\"><border><left/><right/><top/><bottom/><diagonal/></border>"
         "<border><left/><right/><top/><bottom style=\"thin\"/><diagonal/></border></borders>"
         "<cellStyleXfs count=\"1\"><xf numFmtId=\"0\" fontId=\"0\" fillId=\"0\" borderId=\"0\"/></cellStyleXfs>"
         "<cellXfs count=\"13\">"
         "<xf numFmtId=\"0\" fontId=\"0\" fillId=\"0\" borderId=\"0\" xfId=\"0\" applyAlignment=\"1\"><alignment "
         "vertical=\"top\"/></xf>"
         "<xf numFmtId=\"0\" fontId=\"1\" fillId=\"2\" borderId=\"1\" xfId=\"0\" applyFont=\"1\" applyFill=\"1\" "
         "applyBorder=\"1\" applyAlignment=\"1\"><alignment vertical=\"top\" wrapText=\"1\"/></xf>"
         "<xf numFmtId=\"0\" fontId=\"0\" fillId=\"0\" borderId=\"0\" xfId=\"0\" applyAlignment=\"1\"><alignment "
         "vertical=\"top\" wrapText=\"1\"/></xf>"
         "<xf numFmtId=\"0\" fontId=\"0\" fillId=\"3\" borderId=\"0\" xfId=\"0\" applyFill=\"1\" "
         "applyAlignment=\"1\"><alignment vertical=\"top\"/></xf>"
         "<xf numFmtId=\"0\" fontId=\"0\" fillId=\"4\" borderId=\"0\" xfId=\"0\" applyFill=\"1\" "
         "applyAlignment=\"1\"><alignment vertical=\"top\"/></xf>"
         "<xf numFmtId=\"0\" fontId=\"0\" fillId=\"5\" borderId=\"0\" xfId=\"0\" applyFill=\"1\" "
         "applyAlignment=\"1\"><alignment vertical=\"top\"/></xf>"
         "<xf numFmtId=\"0\" fontId=\"1\" fillId=\"0\" borderId=\"0\" xfId=\"0\" applyFont=\"1\" "
         "applyAlignment=\"1\"><alignment vertical=\"top\"/></xf>"
         "<xf numFmtId=\"0\" fontId=\"1\" fillId=\"0\" borderId=\"0\" xfId=\"0\" applyFont=\"1\" "
         "applyAlignment=\"1\"><alignment horizontal=\"right\"/></xf>"
         "<xf numFmtId=\"1\" fontId=\"0\" fillId=\"0\" borderId=\"0\" xfId=\"0\" applyNumberFormat=\"1\" "
         "applyAlignment=\"1\"><alignment vertical=\"top\"/></xf>"
         "<xf numFmtId=\"164\" fontId=\"0\" fillId=\"0\" borderId=\"0\" xfId=\"0\" applyNumberFormat=\"1\" "
         "applyAlignment=\"1\"><alignment vertical=\"top\"/></xf>"
         "<xf numFmtId=\"2\" fontId=\"0\" fillId=\"0\" borderId=\"0\" xfId=\"0\" applyNumberFormat=\"1\" "
         "applyAlignment=\"1\"><alignment vertical=\"top\"/></xf>"
         "<xf numFmtId=\"165\" fontId=\"0\" fillId=\"0\" borderId=\"0\" xfId=\"0\" applyNumberFormat=\"1\" "
         "applyAlignment=\"1\"><alignment vertical=\"top\"/></xf>"
         "<xf numFmtId=\"166\" fontId=\"0\" fillId=\"0\" borderId=\"0\" xfId=\"0\" applyNumberFormat=\"1\" "
         "applyAlignment=\"1\"><alignment vertical=\"top\"/></xf>"
         "</cellXfs>"
         "<cellStyles count=\"1\"><cellStyle name=\"Normal\" xfId=\"0\" builtinId=\"0\"/></cellStyles></styleSheet>\n";
}

}  // namespace seamwright
