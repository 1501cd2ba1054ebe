"""What stands on a printed page: its elements, their nesting and their words."""

import html
import re
from html.parser import HTMLParser

VOID = {"meta", "img", "br", "hr", "link", "input"}
NASTY = "<b>&\"'</td><script>alert(1)</script>$name ${left}"


class Page(HTMLParser):
    """Elements, their words and their nesting; raises on a tag that closes nothing."""

    def __init__(self, text):
        super().__init__()
        self.open, self.found, self.words = [], [], {}
        self.feed(text)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag, attrs):
        names = [name for name, _ in attrs]
        assert len(names) == len(set(names)), (tag, names)
        self.found.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open, f"</{tag}> closes nothing"
        assert self.open.pop() == tag

    def handle_data(self, data):
        for tag in set(self.open):
            self.words[tag] = self.words.get(tag, "") + data

    def all(self, tag):
        return [attrs for name, attrs in self.found if name == tag]


def words_of(text):
    body = re.sub(r"<style>.*?</style>", "", text, flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", body)).split())
