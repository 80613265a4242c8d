"""The work page: a folder that opens in a browser and is worked from, step by step."""

from author.publish.page.building import SCRIPTS, work_page
from author.publish.page.media import PageClip, PagePicture

__all__ = ["SCRIPTS", "PageClip", "PagePicture", "work_page"]
