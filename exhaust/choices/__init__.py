"""The questions of the trade: which tube, same size or stepped."""
