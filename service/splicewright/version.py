"""The version of this software, which its package has too."""

VERSION = "0.6.0"
