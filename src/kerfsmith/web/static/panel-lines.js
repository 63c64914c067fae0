// The lines of a run as the panel counts them, and when a piece is due to be measured.
export const line = (sheet, id) => sheet.lines.find((one) => one.line_id === id);

export function measureDue(sheet) {
  const { every, measured, set_up } = sheet.inspect;
  return set_up >= 1 && set_up <= measured ? "first piece" : measured >= every ? "interval" : "";
}
