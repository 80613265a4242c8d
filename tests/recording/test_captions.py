"""Caption files as they are met: read as players show them, or refused with a remedy."""

from __future__ import annotations

import io
import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import pysubs2
import pytest
import webvtt
from hypothesis import example, given, settings
from hypothesis import strategies as st

from author.errors import InputError
from author.procedure.cues import Cue, plain_text
from author.recording import captions
from author.recording.captions import find_captions, parse_speech, read_captions

SAMPLE = Path(__file__).resolve().parents[2] / "sample_media"
SRT, VTT = Path("saw.srt"), Path("saw.vtt")


def cues_of(data: bytes, file: Path) -> tuple[Cue, ...]:
    return parse_speech(data, file).cues


def read(text: str, file: Path = SRT) -> list[tuple[str, str, str]]:
    return [(str(c.start), str(c.end), c.text) for c in cues_of(text.encode(), file)]


def words(text: str, file: Path = SRT) -> list[str]:
    return [cue[2] for cue in read(text, file)]


@pytest.mark.parametrize(
    ("span", "start", "end"),
    [
        ("00:00:01,000 --> 00:00:02,500", "1.000", "2.500"),
        ("00:00:01.000 --> 00:00:02.500", "1.000", "2.500"),
        ("00:01.000 --> 01:02.500", "1.000", "62.500"),
        ("01:00:00,000-->02:00:00,001", "3600.000", "7200.001"),
        ("100:00:00.000 --> 100:00:00.001", "360000.000", "360000.001"),
        ("0:0:1,5 --> 0:0:2,25", "1.500", "2.250"),
        ("00:00:01 --> 00:00:02", "1.000", "2.000"),
        ("00:00:01:040 --> 00:00:02:040", "1.040", "2.040"),
        ("00 : 00 : 01 , 000 -- > 00 : 00 : 02 , 000", "1.000", "2.000"),
        ("  00:00:01,000\t-->\t00:00:02,000  X1:10 X2:20 Y1:5 Y2:9", "1.000", "2.000"),
        ("00:01.000 --> 00:02.000 align:start position:0%", "1.000", "2.000"),
        ("00:00:01,0005 --> 00:00:02,0015", "1.000", "2.002"),  # half to even
        ("-00:00:01,000 --> 00:00:02,000", "0.000", "2.000"),
    ],
)
def test_time_spans_as_they_are_written(span: str, start: str, end: str) -> None:
    assert read(f"1\n{span}\nLock it off.\n") == [(start, end, "Lock it off.")]


@pytest.mark.parametrize(
    "span",
    [
        "00:00:02,000 --> 00:00:02,000",
        "00:00:02,000 --> 00:00:01,000",
        "-00:00:02,000 --> -00:00:01,000",
    ],
)
def test_what_is_never_seen_is_left_out(span: str) -> None:
    assert words(f"{span}\ngone\n\n00:00:01,000 --> 00:00:03,000\nthere\n") == ["there"]


def test_overlaps_are_kept_in_the_order_of_their_starts() -> None:
    text = (
        "00:03.000 --> 00:09.000\nb\n\n00:01.000 --> 00:05.000\na\n\n00:03.000 --> 00:04.000\nc\n"
    )
    assert words(text) == ["a", "b", "c"]


@pytest.mark.parametrize(
    ("marked", "plain"),
    [
        ("<i>Lock</i> it <B>off</B>", "Lock it off"),
        ('<font color="#ff0000">hot</font>', "hot"),
        ("<v.loud Ann Lee>Stand back</v>", "Stand back"),
        ("<00:00:01.500><c.yellow.bg_blue> press</c> on", "press on"),
        ("<lang en-GB>spanner</lang> <ruby>a<rt>b</rt></ruby>", "spanner ab"),
        ("one<br>two<BR />three", "one\ntwo\nthree"),
        (r"{\an8}{\i1}up here", "up here"),
        ("&lt;b&gt; &amp;lt; &amp;amp; &#x41;&nbsp;&copy;", "<b> &lt; &amp; A\N{NO-BREAK SPACE}©"),
        ("less than < 0.05 mm, and <5 or > 7", "less than < 0.05 mm, and <5 or > 7"),
        ("<inaudible> then {this}", "<inaudible> then {this}"),
        ("run\u202e gnp.exe\u2069 \x07bell\x9b &#x202e;&#0;&rlm;", "run gnp.exe bell \ufffd"),
        ("tab\tand\u2028line", "tab and\nline"),
        ("  margins  \n \nkept together", "margins\nkept together"),
    ],
)
def test_text_comes_out_plain(marked: str, plain: str) -> None:
    assert words(f"1\n00:00:01,000 --> 00:00:02,000\n{marked}\n") == [plain]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r", "\r\r\n"])
def test_line_ends(end: str) -> None:
    text = "1\n00:00:01,000 --> 00:00:02,000\none\ntwo\n\n2\n00:00:03,000 --> 00:00:04,000\nthree\n"
    assert words(text.replace("\n", end)) == ["one\ntwo", "three"]


def test_subrip_goes_on_after_an_empty_line_and_counts_are_no_words() -> None:
    text = "1\n00:00:01,000 --> 00:00:02,000\n12\n\nturns\n\n2\n00:00:03,000 --> 00:00:04,000\nc"
    assert words(text) == ["12\nturns", "c"]
    no_empty_lines = "1\n00:00:01,000 --> 00:00:02,000\na\n2\n00:00:03,000 --> 00:00:04,000\nc"
    assert words(no_empty_lines) == ["a", "c"]


def test_webvtt_blocks_that_are_no_cues() -> None:
    text = (
        "WEBVTT - made by hand\nKind: captions\nLanguage: en\n\n"
        "STYLE\n::cue { color: lime }\n\nREGION\nid:low\n\nNOTE not shown\nnor this\n\n"
        "first\n00:01.000 --> 00:02.000 line:0\n \nshown\n\nnot shown\n\n"
        "2\n00:02.000 --> 00:03.000\n{\\an8} as it is\n"
    )
    assert words(text, VTT) == ["shown", "{\\an8} as it is"]


@pytest.mark.parametrize(
    "head", ["", "WEBVTT\n", "\n\nWEBVTT FILE\n\n", "WEBVTT:\n1\n", "webvtt\n\n"]
)
def test_broken_headers(head: str) -> None:
    assert words(f"{head}00:01.000 --> 00:02.000\nshown\n\nNOTE no\n", VTT) == ["shown"]


@pytest.mark.parametrize("text", ["", " \n\n", "WEBVTT", "WEBVTT\n\nNOTE nothing said\n"])
def test_files_without_captions(text: str) -> None:
    assert read(text, VTT) == []


SPOKEN = {
    "en": ("Don’t force it – “snug” is enough…", "5 µm ± 2 °", "3½ turns"),
    "de": (
        "Zuerst den Schalter ausschalten und die Säge abschließen.",
        "Die Mutter lösen, nicht mit Gewalt drehen.",
        "Prüfen, ob die Welle frei läuft, über die volle Länge.",
    ),
    "fr": (
        "D'abord, coupez l'alimentation et verrouillez le sectionneur.",
        "Desserrez l'écrou de l'essieu et déposez la rondelle.",
        "Vérifiez que la roue tourne librement à la main.",
    ),
    "es": (
        "Primero apague la máquina y coloque el candado.",
        "Afloje la tuerca del eje con la llave de tres cuartos.",
        "El rodamiento está dañado, también el retén señalado.",
    ),
    "pl": (
        "Najpierw wyłącz maszynę i załóż kłódkę.",
        "Odkręć nakrętkę osi, nie używaj siły.",
        "Sprawdź, czy łożysko się swobodnie obraca.",
    ),
    "cs": (
        "Nejdříve vypněte stroj a zajistěte vypínač zámkem.",
        "Povolte matici na hřídeli, nepoužívejte násilí.",
        "Zkontrolujte, zda se ložisko volně otáčí.",
    ),
    "ru": (
        "Сначала выключите станок и повесьте замок.",
        "Ослабьте гайку оси, не прилагайте силу.",
        "Проверьте, что подшипник вращается свободно.",
    ),
    "el": (
        "Πρώτα κλείστε το μηχάνημα και βάλτε λουκέτο.",
        "Χαλαρώστε το παξιμάδι του άξονα με προσοχή.",
        "Ελέγξτε αν το ρουλεμάν γυρίζει ελεύθερα.",
    ),
    "tr": (
        "Önce makineyi kapatın ve şalteri kilitleyin.",
        "Aks somununu gevşetin, zorlamayın.",
        "Rulmanın serbestçe döndüğünü kontrol edin.",
    ),
    "ar": (
        "أولا أوقف الآلة وأقفل المفتاح.",
        "فك صامولة المحور دون قوة.",
        "تحقق من أن المحمل يدور بحرية.",
    ),
    "he": (
        "קודם כבו את המכונה ונעלו את המפסק.",
        "שחררו את האום של הציר בלי כוח.",
        "בדקו שהמסב מסתובב בחופשיות.",
    ),
    "lt": (
        "Pirmiausia išjunkite stakles ir užrakinkite.",
        "Atsukite ašies veržlę, nenaudokite jėgos.",
        "Patikrinkite, ar guolis laisvai sukasi.",
    ),
    "th": (
        "ก่อนอื่นปิดเครื่องและล็อกสวิตช์",
        "คลายน็อตเพลา อย่าใช้แรงมาก",
        "ตรวจสอบว่าลูกปืนหมุนได้คล่อง",
    ),
    "zh": (
        "首先关闭机器并上锁。",
        "松开轴上的螺母，不要用力。",
        "检查轴承是否转动自如。",
    ),
    "zh-TW": (
        "首先關閉機器並上鎖。",
        "鬆開軸上的螺母，不要用力。",
        "檢查軸承是否轉動自如。",
    ),
    "ja": (
        "まず機械を止めて、鍵をかけます。",
        "軸のナットをゆるめます。無理に回さないでください。",
        "ベアリングが軽く回るか確かめます。",
    ),
    "ko": (
        "먼저 기계를 끄고 자물쇠를 채웁니다.",
        "축 너트를 풀고 무리하게 돌리지 마세요.",
        "베어링이 잘 도는지 확인하세요.",
    ),
}
WIDE = ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32", "utf-32-be"]
CODES = [
    *(("ru", code) for code in WIDE),
    *((language, "cp1252") for language in ("en", "de", "fr", "es")),
    *(("pl", "cp1250"), ("cs", "cp1250"), ("ru", "cp1251"), ("ru", "koi8-r"), ("el", "cp1253")),
    *(("tr", "cp1254"), ("he", "cp1255"), ("ar", "cp1256"), ("lt", "cp1257"), ("th", "cp874")),
    *(("zh", "gb2312"), ("zh", "gb18030"), ("zh-TW", "big5"), ("ja", "shift_jis")),
    *(("ja", "euc_jp"), ("ko", "euc_kr")),
]


@pytest.mark.parametrize(("language", "code"), CODES)
def test_three_captions_tell_the_code(language: str, code: str) -> None:
    text = "".join(
        f"{n}\r\n00:00:0{n},000 --> 00:00:0{n},900\r\n{said}\r\n\r\n"
        for n, said in enumerate(SPOKEN[language], 1)
    )
    cues = cues_of(text.encode(code), SRT)
    assert tuple(cue.text for cue in cues) == SPOKEN[language]


@pytest.mark.parametrize("words", ["Ø 40 × 12", "5 µm ± 2 °", "Perché è già usurato."])
def test_letters_and_signs_that_stand_alone_are_western(words: str) -> None:
    (cue,) = cues_of(f"00:00:01,000 --> 00:00:02,000\n{words}".encode("cp1252"), SRT)
    assert cue.text == words


def test_damaged_utf_8_is_still_utf_8() -> None:
    words = SPOKEN["ru"][0]
    data = f"00:00:01,000 --> 00:00:02,000\n{words}".encode()
    (cue,) = cues_of(data[:-2] + b"\xff", SRT)
    assert cue.text == f"{words[:-2]}\ufffd\ufffd"


@pytest.mark.parametrize(
    ("data", "line", "said"),
    [
        (b"Bore gauge, spanner, gloves\n", 1, "no time span"),
        (b"\x00\x01\x02\x03" * 40, 1, "no text"),
        (b"\x01\x02\x80\x81\xff" * 40, 1, "no text"),
        (b"1\n00:00:0x,000 --> 00:00:02,000\nHi\n", 2, "'00:00:0x,000 --> 00:00:02,000'"),
        (
            b"1\n00:00:01,000 --> 00:00:02,000\nHi\n\n2\n00:00:03,000 --> \nHo\n",
            6,
            "cannot be read",
        ),
        (b"00:00:01,000 --> 00:00:02,000\n" + b"a\n" * 10_001, 1, "letters"),
        (b"\n" * 1_000_001, 1_000_000, "lines"),
        (b"0:1-->0:2\n" * 100_001, 100_001, "100000 captions"),
        (b"0" * (16 * 1024 * 1024 + 1), 1, "larger than 16 MB"),
    ],
)
def test_what_cannot_be_read_is_told_with_its_place(data: bytes, line: int, said: str) -> None:
    with pytest.raises(InputError) as caught:
        cues_of(data, SRT)
    error = caught.value
    assert (error.file, error.line) == ("saw.srt", line)
    assert said in error.problem
    assert error.remedy


def test_captions_are_found_beside_the_film(tmp_path: Path) -> None:
    film = tmp_path / "long take.part 1.mp4"
    assert find_captions(film) is None
    (tmp_path / "long take.vtt").write_text("WEBVTT\n")  # of another film
    (tmp_path / "long take.part 1.vtt").mkdir()
    assert find_captions(film) is None
    (tmp_path / "long take.part 1.SRT").write_text("")
    assert find_captions(film) == tmp_path / "long take.part 1.SRT"
    (tmp_path / "long take.part 1.vtt").rmdir()
    (tmp_path / "long take.part 1.vtt").write_text("WEBVTT\n")
    assert find_captions(film) == tmp_path / "long take.part 1.vtt"


def test_reading_captions_loads_no_media_library() -> None:
    code = "import author.recording.captions, sys; print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert not {"av", "cv2", "numpy", "pydantic", "chardet"} & set(done.stdout.split())


def test_files_that_are_not_there_or_huge(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(InputError, match=r"gone\.vtt"):
        read_captions(tmp_path / "gone.vtt")
    monkeypatch.setattr(captions, "MAX_BYTES", 1000)
    huge = tmp_path / "huge.vtt"
    with huge.open("wb") as stream:
        stream.truncate(100 * 1024 * 1024)  # only its first bytes may be read
    with pytest.raises(InputError, match="larger than"):
        read_captions(huge)


@pytest.mark.parametrize("name", ["saw", "phone"])
def test_both_sample_files_say_the_same(name: str) -> None:
    found = find_captions(SAMPLE / f"{name}.mp4")
    assert found == SAMPLE / f"{name}.vtt"
    cues = read_captions(found)
    assert cues == read_captions(SAMPLE / f"{name}.srt")
    theirs = webvtt.read(str(found))
    assert [(c.start, c.end, c.text) for c in cues] == [
        (_seconds(c.start), _seconds(c.end), c.text) for c in theirs
    ]


def _seconds(stamp: str) -> Decimal:
    """Return ``01:02:03.456`` in seconds."""
    hours, minutes, seconds = stamp.split(":")
    return int(hours) * 3600 + int(minutes) * 60 + Decimal(seconds)


times = st.integers(0, 10_000_000)
letters = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1)
plain = st.lists(letters, min_size=1, max_size=3).map(" ".join).map(plain_text).filter(bool)
spoken = st.tuples(times, st.integers(1, 60_000), plain)


def _stamp(ms: int, point: str) -> str:
    return f"{ms // 3_600_000:02}:{ms // 60_000 % 60:02}:{ms // 1000 % 60:02}{point}{ms % 1000:03}"


def _expected(cues: list[tuple[int, int, str]]) -> list[tuple[int, int, str]]:
    return sorted(((at, at + long, words) for at, long, words in cues), key=lambda cue: cue[0])


@settings(deadline=None)
@given(st.lists(spoken, min_size=1, max_size=5))
def test_valid_files_read_as_other_readers_read_them(cues: list[tuple[int, int, str]]) -> None:
    """Oracles: webvtt-py for WebVTT, pysubs2 for SubRip; neither decodes references."""
    safe = [
        (at, long, words.translate(dict.fromkeys(map(ord, "&<>{}\\")))) for at, long, words in cues
    ]
    safe = [cue for cue in safe if plain_text(cue[2]) == cue[2] and not cue[2].isdecimal()]
    blocks = [f"{_stamp(a, '.')} --> {_stamp(a + n, '.')}\n{w}\n" for a, n, w in safe if w]
    text = "WEBVTT\n\n" + "\n".join(blocks)
    ours = [(c.start, c.end, c.text) for c in cues_of(text.encode(), VTT)]
    theirs = [
        (_seconds(c.start), _seconds(c.end), c.text)
        for c in webvtt.from_buffer(io.StringIO(text), format="vtt")
    ]
    assert ours == sorted(theirs, key=lambda cue: cue[0])
    numbered = [
        f"{n}\n{_stamp(a, ',')} --> {_stamp(a + long, ',')}\n{w}\n"
        for n, (a, long, w) in enumerate(safe, 1)
        if w
    ]
    text = "\n".join(numbered)
    ours = [(int(c.start * 1000), int(c.end * 1000), c.text) for c in cues_of(text.encode(), SRT)]
    read_by_other = pysubs2.SSAFile.from_string(text, format_="srt")
    theirs = [(e.start, e.end, e.plaintext) for e in read_by_other]
    assert ours == sorted(theirs, key=lambda cue: cue[0]) == _expected([c for c in safe if c[2]])


def _sane(cues: tuple[Cue, ...]) -> None:
    assert list(cues) == sorted(cues, key=lambda cue: cue.start)
    for cue in cues:
        assert 0 <= cue.start < cue.end
        assert cue.start.as_tuple().exponent == cue.end.as_tuple().exponent == -3
        assert cue.text
        assert cue.text == plain_text(cue.text)


PIECES = (
    *("WEBVTT", "NOTE", "\n", "\r", "\r\n", " ", "\t", "1", ":", ".", "9" * 30),
    *("00:00:01,000", "01:02.5", " --> ", "-->", "-1:0", "99:99:99.999999999"),
    *("<b>", "</b>", "<", ">", "&amp;", "&#0;", "&#xD800;", "{\\an8}"),
    *("ä", "螺", "\x00", "\u202e", "\ufeff", "…"),
)
pieces = st.sampled_from(PIECES)
broken = st.builds(
    lambda parts, code, junk: "".join(parts).encode(code, "replace") + junk,
    st.lists(pieces, max_size=40),
    st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "utf-16-be", "utf-32", "cp1252", "gb18030"]),
    st.binary(max_size=3),
)


@settings(deadline=None)
@given(st.one_of(st.binary(max_size=200), broken), st.sampled_from([SRT, VTT]))
@example(b"\xff\xfe", SRT)
@example(b"\xff\xfe\x00\x00\xff", VTT)
@example("00:00:01,000 --> 00:00:02,000\na".encode("utf-16")[:-1], SRT)
def test_any_bytes_are_captions_or_a_clear_error(data: bytes, file: Path) -> None:
    try:
        _sane(cues_of(data, file))
    except InputError as error:
        assert error.file == str(file)
        assert error.line
        assert error.remedy
