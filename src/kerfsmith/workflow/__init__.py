"""What people do, one verb a file.

Every verb that changes the records has the form ``verb(records, told, *, by=Person, at=datetime)`` and
returns its answer or a `refusal.Refusal` (code, reason, remedy). ``told`` is a small frozen dataclass that
lives beside its verb and holds every id, made by the caller. `acting.act` does each in one transaction with
one ledger entry, after asking `permissions.MAY`; refusals are entries too.

At the saw (each of these also takes ``event=EventMark(id, panel, number, received_at)``, by which it counts
once and in its order; `record_events.record_events(records, events, replan)` does a panel's whole queue):

- ``release_run(records, ReleaseRun(run_id, plan_id, group_id), *, saw: SawSheet, by, at) -> Run``
- ``load_bar(LoadBar(bar_id, run_id, label, measured_um=None, load_id="")) -> BarAtSaw``;
  ``return_bar(ReturnBar(bar_id))``
- ``log_cut(LogCut(cut_id, bar_id, number, kind, line_id, scrapped, trim_um, measured_um, note)) ->
  CutLogged``
- ``undo_cut(UndoCut(undo_id, bar_id, number, cut_id)) -> CutEntry``
- of bars that lie in a load ``load_id``: ``cut_load(CutLoad(pass_id, load_id, (BarCut(bar_id, cut_id, number,
  line_id, scrapped, measured_um), ...), kind, fewer_why)) -> LoadCut``, ``undo_pass(UndoPass(pass_id,
  (BarUndo(bar_id, undo_id, number), ...))) -> PassUndone``, ``take_out(TakeOut(bar_id, why)) -> BarAtSaw``,
  ``finish_load(FinishLoad(load_id, (LeftOfBar(bar_id, left_um), ...))) -> LoadFinished``
- ``reject_piece(RejectPiece(reject_id, cut_id, reason)) -> CutEntry``
- ``inspect_piece(InspectPiece(inspection_id, cut_id, kind, measured_um)) -> Inspection``
- ``measure_bar(MeasureBar(bar_id, left_um)) -> BarAtSaw``
- ``finish_bar(FinishBar(bar_id, measured_um=None)) -> BarFinished``, then ``put_away(PutAway(bar_id, label,
  place)) -> Bar`` or ``scrap_remnant(ScrapRemnant(bar_id, reason)) -> BarAtSaw``
- ``change_band(ChangeBand(saw, mounting_id, on, why, note)) -> BandChanged``; ``add_band(ThisBand)``,
  ``retire_band(RetireBand(band_id, why))``
- ``stop_saw(StopSaw(stop_id, saw, reason, run_id, note)) -> Stop``; ``resume_saw(ResumeSaw(saw)) -> Stop``
- ``change_run(records, ChangeRun(run_id, (LineChange(line_id, quantity, length_um), ...)), replan, *, by,
  at) -> RunChanged``, where ``replan: Callable[[GroupTask], PlanGroup]``
- ``finish_run(FinishRun(run_id, short_why="")) -> RunFinished``

Read: ``with records.look() as look:`` then ``run_sheet(look, run_id) -> RunSheet`` (all that a panel
shows), or any of ``look.floor``, ``look.crib``, ``look.people``, ``look.trace`` (``piece``, ``heat``,
``pieces``, ``certificates``).

Heats: ``add_heat(Heat)``, ``attach_certificate(AttachCertificate(certificate_id, heat, name), content)``;
the file is served from ``records.file(digest)`` with its ``Certificate.kind`` and as an attachment.

People: ``sign_in``, ``open_panel``, ``sign_out``, ``who_is(records, secret, at=)`` in `sign_in`;
``add_person``, ``change_person``, ``set_own_password``, ``issue_token``, ``revoke_sessions`` in
`keep_people`.

Book, rack, plan, shop: ``take_order``, ``drop_order``, ``stock_rack``, ``plan_cuts``, ``open_demo``,
``begin_own_shop``, ``set_rules``.
"""
