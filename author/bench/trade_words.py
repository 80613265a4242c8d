"""Other words of the trade for what can be done: by them the sheet of keys finds a deed."""

from __future__ import annotations

from author.bench.words import translate


def trade_words() -> dict[str, str]:
    """Return, by the name of a deed, words that a person may look for in place of its own."""
    return {
        "open": translate("TradeWords", "load video file folder start"),
        "add_recording": translate("TradeWords", "import video camera clip second film"),
        "save": translate("TradeWords", "write keep store"),
        "save_as": translate("TradeWords", "copy duplicate export"),
        "publish": translate("TradeWords", "print pdf export issue release work page hand out"),
        "front": translate("TradeWords", "name header model serial number people who safety"),
        "lists": translate("TradeWords", "seal spare kit oil grease gauge manual book stock"),
        "undo": translate("TradeWords", "back mistake revert"),
        "redo": translate("TradeWords", "again repeat"),
        "to_film": translate("TradeWords", "leave escape video"),
        "play": translate("TradeWords", "play pause stop start"),
        "half_speed": translate("TradeWords", "slow motion"),
        "double_speed": translate("TradeWords", "fast quick"),
        "loop": translate("TradeWords", "repeat again"),
        "go_to_time": translate("TradeWords", "jump minute second clock"),
        "other_recording": translate("TradeWords", "camera angle switch"),
        "mark": translate("TradeWords", "new step add create cut from to"),
        "unmark": translate("TradeWords", "cancel"),
        "write_action": translate("TradeWords", "text title name describe rename type"),
        "begin_here": translate("TradeWords", "start trim in point"),
        "end_here": translate("TradeWords", "stop trim out point"),
        "measurement": translate(
            "TradeWords", "measure limit tolerance clearance gap play runout dimension gauge check"
        ),
        "torque": translate(
            "TradeWords", "bolt screw nut stud fastener tighten tightening wrench N·m pattern"
        ),
        "hazard": translate("TradeWords", "danger warning caution safety risk lock out tag"),
        "comes_off": translate(
            "TradeWords", "remove take off strip dismantle disassemble pull swap replace old"
        ),
        "goes_on": translate(
            "TradeWords", "fit install mount refit assemble swap replace change new part"
        ),
        "criterion": translate("TradeWords", "inspect look check wear crack condition accept"),
        "critical_point": translate("TradeWords", "orientation way round important must arrow"),
        "decision": translate("TradeWords", "if branch yes no choice fault"),
        "uses": translate("TradeWords", "wrench oil grease sealant cleaner consumable equipment"),
        "step_up": translate("TradeWords", "order earlier reorder sort swap"),
        "step_down": translate("TradeWords", "order later reorder sort swap"),
        "split": translate("TradeWords", "cut divide halve two"),
        "join": translate("TradeWords", "merge combine put together"),
        "section": translate("TradeWords", "chapter group heading part of the job"),
        "remove_step": translate("TradeWords", "delete erase throw away"),
        "take_still": translate("TradeWords", "photo picture image snapshot frame"),
        "best_still": translate("TradeWords", "photo picture image sharp blurred snapshot"),
        "still": translate("TradeWords", "photo picture image view"),
        "arrow": translate("TradeWords", "point pointer callout"),
        "ring": translate("TradeWords", "circle round callout"),
        "box": translate("TradeWords", "rectangle frame square callout"),
        "label": translate("TradeWords", "text caption callout"),
        "leader": translate("TradeWords", "number balloon callout"),
        "mask": translate("TradeWords", "blur cover face plate black out"),
        "alt": translate("TradeWords", "describe picture blind words caption"),
        "next_remark": translate("TradeWords", "error warning problem fault missing check"),
        "previous_remark": translate("TradeWords", "error warning problem fault missing check"),
        "show_remarks": translate("TradeWords", "errors warnings problems missing"),
        "show_ledger": translate("TradeWords", "parts left over ledger loose removed"),
        "show_speech": translate("TradeWords", "words captions subtitles transcript narration"),
        "show_review": translate("TradeWords", "sign approve release"),
        "dark": translate("TradeWords", "night black theme"),
        "larger": translate("TradeWords", "font zoom bigger text size"),
        "smaller": translate("TradeWords", "font zoom text size"),
        "propose": translate("TradeWords", "suggest automatic draft captions"),
        "accept": translate("TradeWords", "sign approve agree ok"),
        "query": translate("TradeWords", "reject ask wrong refuse"),
        "keys": translate("TradeWords", "shortcuts help keyboard find search"),
        "about": translate("TradeWords", "version licence report bug"),
    }
